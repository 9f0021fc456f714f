import { describe, expect, test } from "vitest";
import type { AnyEvent, Kit, Mix } from "../../src/core/types";
import { nextFor, planView } from "../../src/views/screens/chair/plan_view";
import { aCanalOf, aDelivery, anEvent, aRecord, E17, N3, wire } from "./record_builder";

const W: Mix = wire([{ irrigant: "water", concentration_mg_per_l: null }]);
const step = (name: string, act: string, more: object = {}) => ({
  step: name,
  act,
  site: "canal",
  solution: null,
  on_file: false,
  volume_ul: null,
  contact_ms: null,
  contact_limit_ms: null,
  duration_ms: null,
  activation: null,
  tip_short_of_wl_um: null,
  by: null,
  check: null,
  size: null,
  taper_um_per_mm: null,
  motion: null,
  material: null,
  text: null,
  ...more,
});
const stage = (name: string, kind: string, steps: object[], more: object = {}) => ({
  stage: name,
  kind,
  title: name,
  part: "apical_third",
  repeats: "once",
  cycles: 1,
  visit: 1,
  steps,
  ...more,
});

const KIT: Kit = wire({
  format: 1,
  catalogue: {},
  protocol: {
    case: { visits: 1 },
    solutions: [
      { solution: "n3", contents: N3 },
      { solution: "e17", contents: E17 },
      { solution: "w", contents: W },
    ],
    stages: [
      stage("flood", "open", [step("flood", "irrigate", { site: "chamber", solution: "n3" })]),
      stage(
        "shape",
        "shape",
        [
          step("before", "irrigate", { solution: "n3" }),
          step("file", "instrument"),
          step("after", "irrigate", { solution: "n3" }),
          step("back", "recapitulate", { size: 10 }),
        ],
        { repeats: "per_instrument" },
      ),
      stage("chelate", "close", [
        step("chelator", "irrigate", {
          solution: "e17",
          contact_ms: 60_000,
          tip_short_of_wl_um: 1000,
        }),
        step("rinse", "irrigate", { solution: "w", volume_ul: 2000 }),
      ]),
      stage(
        "agitate",
        "close",
        [
          step("refresh", "irrigate", { solution: "n3" }),
          step("ultrasonic", "activate", { activation: "ultrasonic" }),
        ],
        { repeats: "cycles", cycles: 2 },
      ),
      stage("dry", "close", [
        step("last-rinse", "irrigate", { solution: "w" }),
        step("points", "remove", { by: "points" }),
      ]),
    ],
  },
});

/** An act in short: ["N", "mb"] delivers, ["file", "mb", 30] works, and so on. */
type Act = readonly [what: string, site: string, size?: number];

function planAfter(...acts: readonly Act[]) {
  const contents: { readonly [letter: string]: Mix } = { N: N3, E: E17, W };
  const standing: AnyEvent[] = [];
  const deliveries: object[] = [];
  for (const [what, site, size] of acts) {
    const given = contents[what];
    if (given !== undefined) {
      const event = anEvent("irrigant_delivered", { site, by: null, syringe: "s" });
      standing.push(event);
      deliveries.push(aDelivery({ id: event.id, site, contents: given }));
    } else if (what === "file")
      standing.push(anEvent("instrument_used", { canal: site, size: size ?? null }));
    else if (what === "back") standing.push(anEvent("canal_recapitulated", { canal: site }));
    else if (what === "ultrasonic")
      standing.push(anEvent("activation_started", { canal: site, activation: "ultrasonic" }));
    else if (what === "points") standing.push(anEvent("irrigant_removed", { site, by: "points" }));
    else standing.push(anEvent("step_skipped", { step: what, cycle: size ?? 1, canal: site }));
  }
  const record = aRecord({
    opened: { present_at_start: [] },
    canals: [aCanalOf({ canal: "mb" }), aCanalOf({ canal: "d" })],
    standing,
    deliveries,
  });
  return planView(KIT, record);
}
const nextOf = (...acts: readonly Act[]) => {
  const { next } = planAfter(...acts);
  return next === null ? null : [next.step, next.site, next.cycle];
};
const FLOOD = ["N", "chamber"] as const;
const shaped = (site: string) =>
  [
    ["N", site],
    ["file", site, 30],
    ["N", site],
    ["back", site],
  ] as const;
const SHAPED = [FLOOD, ...shaped("mb"), ...shaped("d")] as const;

describe("what comes next", () => {
  test("the chamber is flooded first, then the first canal is shaped to its end before the second", () => {
    expect(nextOf()).toEqual(["flood", "chamber", 1]);
    expect(nextOf(FLOOD)).toEqual(["before", "mb", 1]);
    expect(nextOf(FLOOD, ["N", "mb"])).toEqual(["file", "mb", 1]);
    expect(nextOf(FLOOD, ...shaped("mb"))).toEqual(["before", "d", 1]);
  });

  test("who begins with the second canal is kept there", () => {
    expect(nextOf(FLOOD, ["N", "d"])).toEqual(["file", "d", 1]);
  });

  test("a file smaller than the canal's size asks for another round", () => {
    expect(nextOf(FLOOD, ["N", "mb"], ["file", "mb", 25], ["N", "mb"], ["back", "mb"])).toEqual([
      "before",
      "mb",
      2,
    ]);
  });

  test("closing goes round the canals step by step", () => {
    expect(nextOf(...SHAPED)).toEqual(["chelator", "mb", 1]);
    expect(nextOf(...SHAPED, ["E", "mb"])).toEqual(["chelator", "d", 1]);
    expect(nextOf(...SHAPED, ["E", "mb"], ["E", "d"])).toEqual(["rinse", "mb", 1]);
  });

  test("cycles are written out and counted", () => {
    const rinsed = [...SHAPED, ["E", "mb"], ["E", "d"], ["W", "mb"], ["W", "d"]] as const;
    const once = [
      ...rinsed,
      ["N", "mb"],
      ["N", "d"],
      ["ultrasonic", "mb"],
      ["ultrasonic", "d"],
    ] as const;
    expect(nextOf(...once)).toEqual(["refresh", "mb", 2]);
  });

  test("an extra rinse before the chelator is not taken for the one that must follow it", () => {
    expect(nextOf(...SHAPED, ["W", "mb"])).toEqual(["chelator", "mb", 1]);
    expect(nextOf(...SHAPED, ["W", "mb"], ["E", "mb"], ["E", "d"])).toEqual(["rinse", "mb", 1]);
  });

  test("a chelator while shaping is still asked moves on to closing", () => {
    const { left } = planAfter(FLOOD, ["N", "mb"], ["E", "mb"]);
    expect(left.get("mb")).toBe(1 + 2 * 2 + 2);
  });

  test("what is left out with a reason is not asked again", () => {
    expect(nextOf(...SHAPED, ["chelator", "mb"])).toEqual(["chelator", "d", 1]);
  });

  test("to the last point nothing is left", () => {
    const each = (what: string) =>
      [
        [what, "mb"],
        [what, "d"],
      ] as const;
    const all = [
      ...SHAPED,
      ...each("E"),
      ...each("W"),
      ...each("N"),
      ...each("ultrasonic"),
      ...each("N"),
      ...each("ultrasonic"),
      ...each("W"),
      ...each("points"),
    ] as const;
    expect(nextOf(...all)).toBeNull();
    expect(planAfter(...all).left.get("mb")).toBe(0);
  });
});

test("a syringe of water is meant for the canal whose next step it is, with its depth and contact", () => {
  const plan = planAfter(...SHAPED, ["E", "mb"], ["E", "d"], ["W", "mb"]);
  expect(nextFor(plan, W)?.site).toBe("d");
  expect(nextFor(plan, N3)?.site).toBe("mb");
  expect(nextFor(plan, E17)).toBeNull();
  expect(nextFor(planAfter(...SHAPED), E17)?.tipUm).toBe(19_000);
});
