import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { fold } from "../../src/core/fold";
import { readHeard, readKit } from "../../src/core/reading";
import type { IrrigantEntry } from "../../src/core/types";
import type { VisitRow } from "../../src/store/shapes";
import { contentsOf } from "../../src/views/parts/typed_contents";
import { carriedFrom, latestOf } from "../../src/views/screens/open_visit/carried";
import {
  canalDraft,
  EMPTY,
  strengthTyped,
  syringeDraft,
  type VisitDraft,
} from "../../src/views/screens/open_visit/draft";
import { missing, openingEvents, useByMs } from "../../src/views/screens/open_visit/opening";
import { labelLines } from "../../src/views/screens/open_visit/syringe_label";

const BENCH = readKit(
  readFileSync(new URL("../../../tests/vectors/kits/bench.json", import.meta.url), "utf8"),
);
const KIT = "a".repeat(64);
const READY: VisitDraft = {
  ...EMPTY,
  tooth: "16",
  label: "A-104",
  room: "room-2",
  kit: KIT,
  canals: ["mb1", "mb2", "db", "p"].map(canalDraft),
};

/** Events as the ledger would hold them. */
function heard(drafts: readonly object[], visit = "v1", from = 0) {
  return drafts.map((draft, at) =>
    readHeard({
      id: `${visit}-${at}`,
      visit,
      device: "d",
      device_seq: at + 1,
      staff: "assistant-1",
      occurred_at_ms: from + at * 1000,
      device_clock_ms: 0,
      clock_error_ms: 0,
      ...draft,
    }),
  ); // prettier-ignore
}

test("what is left open is said in order, and the visit does not open", () => {
  expect(missing(EMPTY)).toHaveLength(4);
  expect(missing(READY)).toEqual([]);
  expect(() => openingEvents(EMPTY)).toThrow("not ready");
});

test("opening says what is known and nothing else: unknown lengths and open questions make no event", () => {
  const events = openingEvents({
    ...READY,
    answers: { open_apex: "unknown", isolation: "yes" },
    canals: [{ ...canalDraft("mb1"), workingLengthUm: 20_500, apicalSize: 25 }, canalDraft("p")],
  });
  expect(events.map((event) => event.kind)).toEqual([
    "visit_opened",
    "question_answered",
    "question_answered",
    "canal_set",
  ]);
  expect(events[3]).toMatchObject({
    canal: "mb1",
    working_length_um: 20_500,
    taper_um_per_mm: null,
    state: "length_set",
  });
  const record = fold(null, heard(events));
  expect(record.canals.map((one) => one.canal)).toEqual(["mb1", "p"]);
  expect(record.canals[1]).toMatchObject({ working_length_um: null, state: null });
});

test("a syringe is prepared with its strength bound exactly, and unknown stays unknown", () => {
  const syringe = syringeDraft("s", [
    { irrigant: "sodium_hypochlorite", concentration_mg_per_l: 52_500 as never },
    { irrigant: "etidronate", concentration_mg_per_l: null },
  ]);
  const events = openingEvents({ ...READY, syringes: [syringe] });
  expect(events.at(-1)).toMatchObject({
    kind: "syringe_prepared",
    contents: [
      { irrigant: "sodium_hypochlorite", concentration_mg_per_l: 52_500 },
      { irrigant: "etidronate", concentration_mg_per_l: null },
    ],
    volume_ul: null,
    needle_gauge: null,
    lot: null,
    use_by_ms: null,
  });
});

test("a strength with a decimal comma keeps the visit from opening, with words that say why", () => {
  const wrong = { ...syringeDraft("s", []), parts: [{ irrigant: "edta", strength: "2,5" }] };
  expect(missing({ ...READY, syringes: [wrong] })).toEqual([
    "Found “2,5”, expected a point: 2.5, not 2,5.",
  ]);
  expect(contentsOf(wrong.parts)[0]?.concentration_mg_per_l).toBeNull();
});

test("strengths go from mg/L to what is typed and back", () => {
  for (const mgPerL of [0, 5000, 10_000, 25_000, 52_500, 170_000, 1]) {
    const parts = [{ irrigant: "edta", strength: strengthTyped(mgPerL) }];
    expect(contentsOf(parts)[0]?.concentration_mg_per_l).toBe(mgPerL);
  }
});

test("a use-by day lasts until its end", () => {
  const end = new Date(useByMs("2026-03-29") ?? 0);
  expect([end.getDate(), end.getHours(), end.getMinutes()]).toEqual([29, 23, 59]);
  expect(useByMs("")).toBeNull();
});

test("a label says what it is not for injection, and what is not known", () => {
  const entry = {
    irrigant: "sodium_hypochlorite",
    title: "Sodium hypochlorite",
    kind: "hypochlorite",
  };
  const syringe = {
    ...syringeDraft("s", [
      { irrigant: "sodium_hypochlorite", concentration_mg_per_l: 25_000 as never },
    ]),
    volumeUl: 5000,
  };
  const lines = labelLines(syringe, [entry as IrrigantEntry], 1_790_000_000_000);
  expect(lines[0]).toBe("Sodium hypochlorite 2.5\u00a0% (w/v)");
  expect(lines[1]).toBe("IRRIGANT - NOT FOR INJECTION");
  expect(lines[2]).toBe("never with acid, chelator, chlorhexidine");
  expect(lines[3]).toBe("5\u00a0mL");
  expect(lines.slice(5)).toEqual(["use-by not noted", "lot not noted"]);
});

test("the next appointment carries canals, lengths, the dressing with its day, and an incident", () => {
  const first = heard([
    {
      kind: "visit_opened",
      course: "c",
      tooth: "36",
      label: "B-7",
      room: "room-1",
      kit: KIT,
      canals: ["mb", "d"],
    },
    { kind: "canal_set", canal: "mb", working_length_um: 20_000, name: "mesial" },
    {
      kind: "irrigant_delivered",
      site: "mb",
      contents: [{ irrigant: "edta", concentration_mg_per_l: 170_000 }],
      volume_ul: 1000,
      how: "read",
    },
    { kind: "incident_declared", what: "extrusion", site: "mb" },
    { kind: "irrigant_removed", site: "mb", by: "points" },
    { kind: "dressing_placed", site: "mb", material: "calcium_hydroxide" },
    { kind: "canal_filled", site: "d", material: "root_filling" },
    { kind: "visit_closed" },
  ]); // prettier-ignore
  const row = {
    visit: "v1",
    course: "c",
    tooth: "36",
    label: "B-7",
    room: "room-1",
    kit: KIT,
  } as VisitRow;
  const carried = carriedFrom(row, fold(BENCH, first));
  expect(carried).toMatchObject({
    course: "c",
    tooth: "36",
    label: "B-7",
    answers: { earlier_incident: "yes" },
  });
  expect(carried.canals?.find((one) => one.canal === "mb")).toMatchObject({
    workingLengthUm: 20_000,
    name: "mesial",
  });
  expect(carried.leftIn).toEqual([
    {
      site: "mb",
      irrigant: "calcium_hydroxide",
      concentrationMgPerL: null,
      dressing: true,
      sinceMs: 5000,
      carried: true,
    },
  ]); // prettier-ignore
  const events = openingEvents({ ...READY, ...carried });
  expect(events[0]).toMatchObject({
    course: "c",
    present_at_start: [
      {
        site: "mb",
        dressing: true,
        since_ms: 5000,
        contents: [{ irrigant: "calcium_hydroxide", concentration_mg_per_l: null }],
      },
    ],
  }); // prettier-ignore
});

test("an irrigant that nobody removed is carried over as left in", () => {
  const first = heard([
    {
      kind: "visit_opened",
      course: "c",
      tooth: "11",
      label: "C",
      room: "room-1",
      kit: KIT,
      canals: ["single"],
    },
    {
      kind: "irrigant_delivered",
      site: "single",
      contents: [{ irrigant: "chlorhexidine", concentration_mg_per_l: 20_000 }],
      volume_ul: 1000,
      how: "read",
    },
    { kind: "visit_closed" },
  ]); // prettier-ignore
  const row = {
    visit: "v1",
    course: "c",
    tooth: "11",
    label: "C",
    room: "room-1",
    kit: KIT,
  } as VisitRow;
  const { leftIn } = carriedFrom(row, fold(BENCH, first));
  expect(leftIn).toMatchObject([{ site: "single", irrigant: "chlorhexidine", dressing: false }]);
});

test("the latest appointment of a course is the one that is carried on", () => {
  const row = (visit: string, course: string, opened_at_ms: number) =>
    ({ visit, course, opened_at_ms }) as VisitRow;
  expect(latestOf("c", [row("1", "c", 5), row("2", "c", 9), row("3", "x", 99)])?.visit).toBe("2");
  expect(latestOf("none", [row("1", "c", 5)])).toBeNull();
});
