import { expect, test } from "vitest";
import type { IncidentDeclared } from "../../src/core/types";
import { flowText, massText, volumeText } from "../../src/views/canal/amounts";
import { firstSignMs, incidentCard } from "../../src/views/screens/incident/incident_model";
import { aDelivery, anEvent, aRecord, SALINE, wire } from "./record_builder";

const plain = (text: string | null): string => (text ?? "").replaceAll("\u00a0", " ");
const at = (minutes: number, seconds: number): number => (minutes * 60 + seconds) * 1000;

/** N to p and b, Stop at 27:08, declared at 27:20 with the first sign at 27:08, saline after it. */
function theAccident() {
  const given = (site: string, start: number, end: number, volume: number) => {
    const event = anEvent("irrigant_delivered", {
      site,
      volume_ul: volume,
      duration_ms: end - start,
      occurred_at_ms: end,
    });
    return {
      event,
      delivered: aDelivery({ id: event.id, site, start_ms: start, end_ms: end, volume_ul: volume }),
    };
  };
  const all = [
    given("p", at(19, 0), at(19, 15), 1000),
    given("b", at(20, 0), at(20, 15), 1000),
    given("b", at(24, 0), at(24, 12), 1000),
    given("b", at(27, 0), at(27, 6), 500),
  ];
  const stop = anEvent("treatment_stopped", { occurred_at_ms: at(27, 8), reason: null });
  const declared = wire<IncidentDeclared>(
    anEvent("incident_declared", {
      occurred_at_ms: at(27, 20),
      first_sign_at_ms: at(27, 8),
      what: "sudden_pain",
      site: "b",
      text: null,
    }),
  );
  const saline = given("b", at(29, 0), at(29, 40), 1000);
  const record = aRecord({
    standing: [...all.map((one) => one.event), stop, declared, saline.event],
    deliveries: [...all.map((one) => one.delivered), { ...saline.delivered, contents: SALINE }],
  });
  return { record, declared };
}

test("the card gives each canal what went in before the first sign, and nothing of what came after", () => {
  const { record, declared } = theAccident();
  const card = incidentCard(record, declared);
  expect(
    card.given.map((one) => [
      one.site,
      plain(volumeText(one.volumeUl)),
      plain(massText(one.passedNg ?? 0)),
    ]),
  ).toEqual([
    ["p", "1 mL", "30 mg"],
    ["b", "2.5 mL", "75 mg"],
  ]);
});

test("the last delivery stands with its amount and its mean flow", () => {
  const { record, declared } = theAccident();
  const b = incidentCard(record, declared).given[1];
  expect(b?.last.volumeUl).toBe(500);
  expect(plain(flowText(b?.last.volumeUl ?? null, b?.last.durationMs ?? null))).toBe("5 mL/min");
});

test("the tooth had 3.5 mL, which is 105 mg", () => {
  const { record, declared } = theAccident();
  const [tooth] = incidentCard(record, declared).tooth;
  expect([tooth?.volumeUl, tooth?.passedNg]).toEqual([3500, 105_000_000]);
});

test("the incident's clock runs from the stop that still stands", () => {
  const { record } = theAccident();
  expect(firstSignMs(record, at(27, 20))).toBe(at(27, 8));
});

test("after work has gone on, a new incident's clock runs from now", () => {
  const { record } = theAccident();
  const resumed = anEvent("treatment_resumed", { occurred_at_ms: at(40, 0), reason: null });
  const later = { ...record, standing: [...record.standing, resumed] };
  expect(firstSignMs(later, at(50, 0))).toBe(at(50, 0));
});

test("an amount nobody knows makes the sum a least one", () => {
  const { record, declared } = theAccident();
  const unknown = aDelivery({ site: "p", start_ms: at(21, 0), end_ms: at(21, 5), volume_ul: null });
  const card = incidentCard({ ...record, deliveries: [unknown, ...record.deliveries] }, declared);
  expect(card.given.find((one) => one.site === "p")?.atLeast).toBe(true);
});
