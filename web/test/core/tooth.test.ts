import { describe, expect, test } from "vitest";
import { fold } from "../../src/core/fold.ts";
import { ms } from "../../src/core/quantities.ts";
import { totals } from "../../src/core/totals.ts";
import { aKit, MINUTE, N, Visit } from "./builders.ts";

function joined(): Visit {
  const visit = new Visit(["a", "b"]);
  visit.add("canal_set", 0, { canal: "a", working_length_um: 20_000 });
  const joins = { canal: "a", short_of_wl_um: 3000 };
  visit.add("canal_set", 0, { canal: "b", working_length_um: 21_000, joins });
  return visit;
}

const contact = (visit: Visit): unknown =>
  totals(fold(aKit(), visit.events), ms(10 * MINUTE)).depths.map((row) => [
    row.site,
    row.from_um,
    row.to_um,
    row.contact_ms,
  ]);

describe("joined canals", () => {
  test("share what lies beyond the junction, which counts once, under the canal that is joined", () => {
    const visit = joined();
    visit.deliver(MINUTE, "b", N, { tip_um: 21_000 });
    expect(contact(visit)).toEqual([
      ["a", 17_000, 20_000, 9 * MINUTE],
      ["b", 0, 18_000, 9 * MINUTE],
    ]);
  });

  test("are rinsed there by an act in either", () => {
    const visit = joined();
    visit.deliver(MINUTE, "b", N, { tip_um: 21_000 });
    visit.points(2 * MINUTE, "a");
    expect(contact(visit)).toEqual([
      ["a", 17_000, 20_000, MINUTE],
      ["b", 0, 18_000, 9 * MINUTE],
    ]);
  });

  test("both have the shared stretch in their last 3 mm", () => {
    const visit = joined();
    visit.deliver(MINUTE, "b", N, { tip_um: 21_000 });
    const { headlines } = totals(fold(aKit(), visit.events), ms(10 * MINUTE));
    expect(headlines.map((row) => [row.site, row.last_3mm_least_ms])).toEqual([
      ["a", 9 * MINUTE],
      ["b", 9 * MINUTE],
    ]);
  });

  test("a file carries contents on past the junction", () => {
    const visit = joined();
    visit.deliver(MINUTE, "b", N, { tip_um: 15_000 });
    visit.add("instrument_used", 2 * MINUTE, { canal: "b", length_um: 20_500 });
    const { carried } = totals(fold(aKit(), visit.events), ms(10 * MINUTE));
    expect(carried.map((row) => [row.site, row.from_um, row.to_um, row.carried_ms])).toContainEqual(
      ["a", 17_000, 19_500, 8 * MINUTE],
    );
  });

  test("are not followed in a ring, nor without both lengths", () => {
    const visit = joined();
    visit.add("canal_set", 1, { canal: "a", joins: { canal: "b", short_of_wl_um: 3000 } });
    visit.add("canal_set", 1, { canal: "c", joins: { canal: "a", short_of_wl_um: 3000 } });
    const rules = fold(aKit(), visit.events).findings.map(({ rule, sites }) => [rule, sites]);
    expect(rules).toEqual([
      ["join_in_a_ring", ["b", "a"]],
      ["join_without_length", ["c", "a"]],
    ]);
  });
});
