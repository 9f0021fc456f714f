import { describe, expect, test } from "vitest";
import { fold } from "../../src/core/fold.ts";
import { ms } from "../../src/core/quantities.ts";
import { totals } from "../../src/core/totals.ts";
import type { Headline, Totals } from "../../src/core/types.ts";
import { aKit, content, E, MINUTE, N, SECOND, Visit } from "./builders.ts";

const figures = (visit: Visit, atMs: number): Totals =>
  totals(fold(aKit(), visit.events), ms(atMs));
const headline = (visit: Visit, atMs: number): Headline | undefined =>
  figures(visit, atMs).headlines[0];

describe("the headlines", () => {
  test("are null for the last 3 mm while the working length is unknown", () => {
    const visit = new Visit();
    visit.deliver(SECOND, "a", N);
    expect(headline(visit, MINUTE)).toMatchObject({
      last_3mm_least_ms: null,
      last_3mm_mean_ms: null,
    });
  });

  test("count what nothing reached in the last 3 mm as none at all", () => {
    const visit = new Visit();
    visit.add("canal_set", 0, { canal: "a", working_length_um: 20_000 });
    visit.deliver(SECOND, "a", N, { tip_um: 18_000 });
    const told = headline(visit, SECOND + 3000);
    expect(told?.last_3mm_least_ms).toBe(0);
    expect(told?.last_3mm_mean_ms).toBe(Math.floor((1500 * 3000) / 3000));
  });

  test("take both strengths of an irrigant as one unbroken run", () => {
    const visit = new Visit();
    visit.deliver(10 * SECOND, "a", N, { duration_ms: 0 });
    visit.deliver(40 * SECOND, "a", content("sodium_hypochlorite", 52_500), { duration_ms: 0 });
    const told = figures(visit, 100 * SECOND);
    expect(told.headlines).toHaveLength(1);
    expect(told.headlines[0]?.longest_run_ms).toBe(90 * SECOND);
    expect(told.depths.map((row) => row.contact_ms)).toEqual([30 * SECOND, 60 * SECOND]);
  });

  test("never run past the instant they are asked for", () => {
    const visit = new Visit();
    visit.deliver(10 * SECOND, "a", N, { duration_ms: 0 });
    visit.deliver(50 * SECOND, "a", E, { duration_ms: 0 });
    expect(figures(visit, 30 * SECOND).headlines).toMatchObject([{ anywhere_ms: 20 * SECOND }]);
  });
});

test("a closed visit stops what has no recorded end at the last clinical event, and says so", () => {
  const visit = new Visit();
  visit.deliver(MINUTE, "a", N, { duration_ms: 0 });
  visit.add("check_done", 3 * MINUTE, { what: "radiograph" });
  visit.add("note_added", 4 * MINUTE, { text: "n" });
  visit.add("visit_closed", 9 * MINUTE);
  expect(headline(visit, 60 * MINUTE)?.anywhere_ms).toBe(2 * MINUTE);
  expect(fold(aKit(), visit.events).findings).toMatchObject([{ rule: "open_end", sites: ["a"] }]);
});

describe("volumes", () => {
  test("say that they are at least so much where one is unknown, and the mass of what is known", () => {
    const visit = new Visit();
    visit.deliver(SECOND, "a", N, { volume_ul: 500 });
    visit.deliver(2 * SECOND, "a", N, { volume_ul: null, how: "planned" });
    expect(figures(visit, MINUTE).volumes).toEqual([
      {
        site: "a",
        irrigant: "sodium_hypochlorite",
        concentration_mg_per_l: 25_000,
        volume_ul: 500,
        at_least: true,
        about: false,
        passed_ng: 12_500_000,
      },
    ]); // prettier-ignore
  });

  test("have no mass without a strength, and no share measured without a volume", () => {
    const visit = new Visit();
    visit.deliver(SECOND, "a", content("edta"), { volume_ul: null });
    const told = figures(visit, MINUTE);
    expect(told.volumes[0]?.passed_ng).toBeNull();
    expect(told.measured_share_pct).toBeNull();
  });

  test("round the measured share down", () => {
    const visit = new Visit();
    visit.deliver(SECOND, "a", N, { volume_ul: 2, how: "read" });
    visit.deliver(2 * SECOND, "a", N, { volume_ul: 1, how: "planned" });
    expect(figures(visit, MINUTE).measured_share_pct).toBe(66);
  });

  test("of an act after the close still count, though its contact does not", () => {
    const visit = new Visit();
    visit.add("visit_closed", MINUTE);
    visit.deliver(2 * MINUTE, "a", N);
    const told = figures(visit, 9 * MINUTE);
    expect(told.volumes[0]?.volume_ul).toBe(1000);
    expect(told.headlines).toEqual([]);
  });
});
