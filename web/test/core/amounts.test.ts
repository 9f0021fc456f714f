import { describe, expect, test } from "vitest";
import { amounts, shared } from "../../src/core/amounts.ts";
import type { AnyEvent, IrrigantDelivered } from "../../src/core/types.ts";
import { N, Visit } from "./builders.ts";

const planned = (volumes: readonly number[]): IrrigantDelivered[] => {
  const visit = new Visit();
  const said = { syringe: "s1", contents: null, how: "planned" };
  return volumes
    .map((volume_ul, at) => visit.deliver(at + 1, "a", N, { ...said, volume_ul }))
    .filter(isDelivery);
};

function isDelivery(event: AnyEvent): event is IrrigantDelivered {
  return event.kind === "irrigant_delivered";
}

describe("what a reading shares", () => {
  test("adds up to what was used, the remainder to the largest fractions, ties to the first", () => {
    expect([...(shared(planned([1, 1, 1]), 100)?.values() ?? [])]).toEqual([34, 33, 33]);
    expect([...(shared(planned([1, 2, 4]), 10)?.values() ?? [])]).toEqual([1, 3, 6]);
  });

  test("is exact where the products pass what a number holds", () => {
    const parts = [...(shared(planned([2 ** 52 - 1, 1]), 2 ** 52 - 1)?.values() ?? [])];
    expect(parts).toEqual([2 ** 52 - 2, 1]);
  });

  test("is nothing where an amount is unknown, nothing is loose, or less than nothing is left", () => {
    const [one] = planned([1000]);
    if (one === undefined) throw new Error("no delivery");
    expect(shared([{ ...one, volume_ul: null }], 500)).toBeNull();
    expect(shared([{ ...one, how: "read" }], 500)).toBeNull();
    expect(shared([one], -1)).toBeNull();
    expect(shared([], 500)).toBeNull();
  });
});

test("a reading that agrees with firm amounts says nothing; one that does not is a conflict", () => {
  const told = (left: number): readonly string[] => {
    const visit = new Visit();
    visit.add("syringe_prepared", 1, { syringe: "s1", contents: [N], volume_ul: 5000 });
    visit.deliver(2, "a", N, { syringe: "s1", contents: null, how: "read" });
    visit.add("syringe_read", 3, { syringe: "s1", left_ul: left });
    return amounts(visit.events).findings.map((finding) => finding.rule);
  };
  expect(told(4000)).toEqual([]);
  expect(told(3999)).toEqual(["reading_conflict"]);
});

test("a syringe thrown away says nothing of what was left in it", () => {
  const visit = new Visit();
  visit.add("syringe_prepared", 1, { syringe: "s1", contents: [N], volume_ul: 5000 });
  const { id } = visit.deliver(2, "a", N, { syringe: "s1", contents: null, how: "planned" });
  visit.add("syringe_read", 3, { syringe: "s1", discarded: true });
  expect(amounts(visit.events).volumeUl.get(id)).toBe(1000);
});
