import { describe, expect, test } from "vitest";
import type { ProposedAct, Warning } from "../../src/core/types";
import type { Draft } from "../../src/store/commands";
import {
  type Amounts,
  aheadOf,
  type Bench,
  give,
  giveOnFile,
  pickUp,
  release,
} from "../../src/views/screens/chair/hand";
import { onFile, type Syringe } from "../../src/views/screens/chair/rack";
import { aRecord, N3, wire } from "./record_builder";

const SYRINGE: Syringe = {
  syringe: "s-1",
  contents: N3,
  lot: null,
  useByMs: null,
  needleGauge: 30,
  needleTip: "side_vented",
  leftUl: 5000,
  about: false,
  gone: null,
};
const AMOUNTS: Amounts = { volumeUl: 1000, durationMs: 10_000, tipUm: 19_000, how: "planned" };
const HOLD: Warning = { rule: "pair", level: "hold", about: "a+b", sites: ["ml"], basis: "found" };
const CAUTION: Warning = {
  rule: "pair",
  level: "caution",
  about: "c+d",
  sites: ["mb"],
  basis: "found",
};

function aBench(warn: (act: ProposedAct) => readonly Warning[]): Bench {
  let count = 0;
  return {
    record: aRecord(),
    kit: null,
    nowMs: 50_000,
    warn,
    newId: () => {
      count += 1;
      return `id-${count}`;
    },
  };
}

const kinds = (drafts: readonly Draft[]): string[] => drafts.map((draft) => draft.kind);
const field = (draft: Draft | undefined, name: string): unknown =>
  wire<Record<string, unknown>>(draft)[name];

describe("a syringe in the hand", () => {
  test("with nothing to say a pick and a tap on a canal are one event each", () => {
    const bench = aBench(() => []);
    const picked = pickUp(bench, SYRINGE, null);
    const given = give(bench, picked.hand, "mb1", AMOUNTS);
    expect(kinds([...picked.drafts, ...given.drafts])).toEqual([
      "syringe_picked",
      "irrigant_delivered",
    ]);
    expect(given.delivery).toBe(field(given.drafts[0], "id"));
  });

  test("what was said at the pick is shown with the delivery and not said twice", () => {
    const bench = aBench(() => [CAUTION]);
    const picked = pickUp(bench, SYRINGE, "mb");
    const given = give(bench, picked.hand, "mb", AMOUNTS);
    expect(kinds(picked.drafts)).toEqual(["syringe_picked", "guard_spoke"]);
    expect(kinds(given.drafts)).toEqual(["irrigant_delivered"]);
    expect(field(given.drafts[0], "guard_shown")).toEqual([field(picked.drafts[1], "id")]);
  });

  test("a caution is said again for the next act out of the same hand, under that act's id", () => {
    const bench = aBench(() => [CAUTION]);
    const first = give(bench, pickUp(bench, SYRINGE, "mb").hand, "mb", AMOUNTS);
    const second = give(bench, first.hand, "ml", AMOUNTS);
    expect(kinds(second.drafts)).toEqual(["guard_spoke", "irrigant_delivered"]);
    expect(field(second.drafts[0], "act")).toBe(field(second.drafts[1], "id"));
  });

  test("a hold keeps the delivery waiting until it is let go, and then names who and why", () => {
    const bench = aBench(() => [HOLD]);
    const picked = pickUp(bench, SYRINGE, null);
    const held = give(bench, picked.hand, "mb", AMOUNTS);
    expect(kinds(held.drafts)).toEqual([]);
    expect(held.delivery).toBeNull();
    const freed = release(bench, held.hand, "dentist-1", "Clinical decision for this tooth");
    expect(kinds(freed.drafts)).toEqual(["hold_released", "irrigant_delivered"]);
    expect(field(freed.drafts[0], "act")).toBe(picked.hand.pick);
    expect(field(freed.drafts[0], "ordered_by")).toBe("dentist-1");
    expect(freed.delivery).not.toBeNull();
  });

  test("a hold let go at the pick lets one act through, and the next is held again", () => {
    const bench = aBench(() => [HOLD]);
    const freed = release(bench, pickUp(bench, SYRINGE, null).hand, "dentist-1", "ordered");
    const first = give(bench, freed.hand, "mb", AMOUNTS);
    expect(first.delivery).not.toBeNull();
    const second = give(bench, first.hand, "mb", AMOUNTS);
    expect(second.delivery).toBeNull();
    const again = release(bench, second.hand, "dentist-1", "ordered");
    expect(field(again.drafts[0], "act")).toBe(again.delivery);
  });

  test("a hold said at a pick for anywhere does not stop a canal that it does not concern", () => {
    const bench = aBench((act) => (act.site === null ? [HOLD] : []));
    const given = give(bench, pickUp(bench, SYRINGE, null).hand, "p", AMOUNTS);
    expect(given.delivery).not.toBeNull();
  });
});

describe("what is said ahead of a tap", () => {
  const binds: Warning = {
    rule: "needle_would_bind",
    level: "caution",
    about: "",
    sites: ["mb"],
    basis: null,
  };

  test("a caution that hangs on the depth is shown before the tap and logged with it", () => {
    const bench = aBench((act) => (act.tip_um === null ? [] : [binds]));
    const { hand } = pickUp(bench, SYRINGE, "mb");
    expect(hand.spoken).toEqual([]);
    expect(aheadOf(bench, hand, "mb", 19_000).map((one) => one.warning.rule)).toEqual([binds.rule]);
    expect(kinds(give(bench, hand, "mb", AMOUNTS).drafts)).toEqual([
      "guard_spoke",
      "irrigant_delivered",
    ]);
  });
});

describe("what goes into a canal on a file", () => {
  test("is a delivery of its own kind, without a pick, its contents named", () => {
    const bench = aBench(() => []);
    const coated = giveOnFile(bench, onFile(N3), "mb", null);
    expect(kinds(coated.drafts)).toEqual(["irrigant_delivered"]);
    expect(coated.drafts[0]).toMatchObject({
      by: "on_file",
      contents: N3,
      volume_ul: null,
      tip_um: null,
    });
    expect(field(coated.drafts[0], "syringe")).toBeUndefined();
  });

  test("is held like a syringe, and let go under the delivery's own id", () => {
    const bench = aBench(() => [HOLD]);
    const held = giveOnFile(bench, onFile(N3), "mb", null);
    expect(held.delivery).toBeNull();
    const freed = release(bench, held.hand, "dentist-1", "ordered");
    expect(field(freed.drafts[0], "act")).toBe(freed.delivery);
  });
});
