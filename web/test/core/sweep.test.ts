import { expect, test } from "vitest";
import { fold } from "../../src/core/fold.ts";
import { ms } from "../../src/core/quantities.ts";
import { totals } from "../../src/core/totals.ts";
import { aKit, N, SECOND, Visit } from "./builders.ts";

test("negative pressure goes on drawing while another activation within it is stopped", () => {
  const visit = new Visit();
  const start = (at: number, activation: string) =>
    visit.add("activation_started", at * SECOND, { canal: "a", activation, tip_um: 18_000 });
  start(1, "negative_pressure");
  start(2, "sonic");
  visit.add("activation_stopped", 3 * SECOND, { canal: "a", activation: "sonic" });
  visit.deliver(4 * SECOND, "chamber", N, { tip_um: null, duration_ms: 0 });
  const { depths } = totals(fold(aKit(), visit.events), ms(10 * SECOND));
  expect(depths.map((row) => [row.from_um, row.to_um])).toEqual([[0, 18_000]]);
});

test("a stop ends the latest start, and a start that nobody stopped counts nothing", () => {
  const visit = new Visit();
  visit.deliver(1 * SECOND, "a", N);
  const first = visit.add("activation_started", 2 * SECOND, { canal: "a", activation: "sonic" });
  visit.add("activation_started", 4 * SECOND, { canal: "a", activation: "sonic" });
  visit.add("activation_stopped", 9 * SECOND, { canal: "a", activation: "sonic" });
  const record = fold(aKit(), visit.events);
  expect(totals(record, ms(20 * SECOND)).headlines[0]?.activated_ms).toBe(5 * SECOND);
  expect(record.findings).toMatchObject([{ rule: "activation_never_stopped", events: [first.id] }]);
});
