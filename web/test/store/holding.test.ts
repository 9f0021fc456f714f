import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { fold } from "../../src/core/fold";
import { readHeard, readKit } from "../../src/core/reading";
import { holdingOf } from "../../src/store/holding";

const BENCH = readKit(
  readFileSync(new URL("../../../tests/vectors/kits/bench.json", import.meta.url), "utf8"),
);

function recordOf(...drafts: readonly object[]) {
  const opened = {
    kind: "visit_opened",
    course: "c",
    tooth: "11",
    label: "A",
    room: "r",
    kit: "a".repeat(64),
    canals: ["b"],
  }; // prettier-ignore
  const lines = [opened, ...drafts].map((draft, at) =>
    readHeard({
      id: `e${at}`,
      visit: "v",
      device: "d",
      device_seq: at + 1,
      staff: "s",
      occurred_at_ms: at * 1000,
      device_clock_ms: 0,
      clock_error_ms: 0,
      ...draft,
    }),
  ); // prettier-ignore
  return fold(BENCH, lines);
}

const length = { kind: "canal_set", canal: "b", orifice_um: 9000, working_length_um: 20_000 };
const into = (irrigant: string, tip_um: number, occurred_at_ms: number) => ({
  kind: "irrigant_delivered",
  site: "b",
  contents: [{ irrigant, concentration_mg_per_l: null }],
  volume_ul: 1000,
  tip_um,
  how: "read",
  occurred_at_ms,
}); // prettier-ignore

test("what lies deeper stays below what came after it, each with its own start", () => {
  const record = recordOf(length, into("edta", 19_500, 10_000), into("water", 12_000, 20_000));
  const held = holdingOf(record, "b", 25_000);
  expect(held.map((one) => [one.contents[0]?.irrigant, one.since_ms])).toEqual([
    ["water", 20_000],
    ["edta", 10_000],
  ]);
  expect(held[0]).toMatchObject({ from_um: 9000, to_um: held[1]?.from_um });
  expect(held[1]?.to_um).toBe(20_000);
});

test("nothing is held before the first delivery, nor after the points", () => {
  const record = recordOf(length, into("edta", 19_500, 10_000), {
    kind: "irrigant_removed",
    site: "b",
    by: "points",
    occurred_at_ms: 30_000,
  }); // prettier-ignore
  expect(holdingOf(record, "b", 9000)).toEqual([]);
  expect(holdingOf(record, "b", 29_999)).toHaveLength(1);
  expect(holdingOf(record, "b", 30_000)).toEqual([]);
});
