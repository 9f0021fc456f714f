import { describe, expect, test } from "vitest";
import { fold } from "../../src/core/fold.ts";
import { drawUp, plan, visitNumber } from "../../src/core/plan.ts";
import type { Kit, Protocol } from "../../src/core/types.ts";
import { aKit, N, SECOND, Visit, W } from "./builders.ts";
import { kitNamed } from "./judging.ts";

const STEPWISE = kitNamed("stepwise");

function protocolOf(kit: Kit): Protocol {
  if (kit.protocol === null) throw new Error("the kit has no protocol");
  return kit.protocol;
}

describe("a plan", () => {
  test("without a protocol is empty", () => {
    expect(plan(aKit(), fold(aKit(), new Visit().events))).toMatchObject({
      protocol: null,
      lines: [],
      next: null,
    }); // prettier-ignore
  });

  test("has a line for every canal as it became known, and the chamber's last", () => {
    const visit = new Visit(["b", "a"]);
    visit.add("canal_set", SECOND, { canal: "mb2" });
    const { lines } = plan(STEPWISE, fold(STEPWISE, visit.events));
    expect(lines.map((line) => line.site)).toEqual(["b", "a", "mb2", "chamber"]);
  });

  test("gives no next to a canal that is left, and nothing of it is left to do", () => {
    const visit = new Visit(["a"]);
    visit.add("canal_set", SECOND, { canal: "a", state: "left" });
    const [line] = plan(STEPWISE, fold(STEPWISE, visit.events)).lines;
    expect(line).toMatchObject({
      next: null,
      or_next: null,
      left: { volumes: {}, at_least: false },
    });
    expect(line?.steps.length).toBeGreaterThan(0);
  });

  test("lists an act that fits no step, and refuses nothing", () => {
    const visit = new Visit(["a"]);
    const { id } = visit.deliver(SECOND, "a", W);
    const [line] = plan(STEPWISE, fold(STEPWISE, visit.events)).lines;
    expect(line?.outside).toEqual([id]);
  });

  test("asks for the tip as far short of the working length as the step says, never above the reference point", () => {
    const tips = (lengthUm: number): [number | null, number | null][] => {
      const visit = new Visit(["a"]);
      visit.add("canal_set", SECOND, { canal: "a", working_length_um: lengthUm });
      const [line] = plan(STEPWISE, fold(STEPWISE, visit.events)).lines;
      return (line?.steps ?? [])
        .filter((one) => one.asked.tip_short_of_wl_um !== null)
        .map((one) => [one.asked.tip_short_of_wl_um, one.tip_um]);
    };
    for (const [short, tip] of tips(20_000)) expect(tip).toBe(20_000 - Number(short));
    for (const [, tip] of tips(0)) expect(tip).toBe(0);
    expect(tips(20_000).length).toBe(tips(0).length);
  });

  test("is told by a dressing left in that it is the second visit, if the protocol has one", () => {
    const left = { site: "a", contents: [{ irrigant: "calcium_hydroxide" }], dressing: true };
    const record = fold(STEPWISE, new Visit(["a"], { present_at_start: [left] }).events);
    const protocol = protocolOf(STEPWISE);
    const of = (visits: number) => ({ ...protocol, case: { ...protocol.case, visits } });
    expect(visitNumber(of(1), record)).toBe(1);
    expect(visitNumber(of(3), record)).toBe(2);
    expect(visitNumber(of(3), fold(STEPWISE, new Visit(["a"]).events))).toBe(1);
  });
});

describe("what to draw up", () => {
  test("grows with the canals and the instruments", () => {
    const few = drawUp(protocolOf(STEPWISE), 1, 1, 1);
    const many = drawUp(protocolOf(STEPWISE), 2, 1, 3);
    few.forEach((row, at) => {
      expect(many[at]?.volume_ul).toBeGreaterThanOrEqual(row.volume_ul);
    });
    expect(many[0]?.volume_ul).toBeGreaterThan(few[0]?.volume_ul ?? 0);
  });

  test("fills syringes up, and needs one for each solution that is used", () => {
    for (const row of drawUp(protocolOf(STEPWISE), 2, 1, 3, 5000)) {
      expect(row.syringes).toBe(Math.max(1, Math.ceil(row.volume_ul / 5000)));
    }
    expect(drawUp(protocolOf(STEPWISE), 0).every((row) => row.syringes === 1)).toBe(true);
  });

  test("refuses a syringe of no volume", () => {
    expect(() => drawUp(protocolOf(STEPWISE), 1, 1, 1, 0)).toThrow(RangeError);
    expect(() => drawUp(protocolOf(STEPWISE), -1)).toThrow(RangeError);
  });
});

test("a delivery under another strength is the same step still", () => {
  const visit = new Visit(["a"]);
  visit.deliver(SECOND, "a", { ...N, concentration_mg_per_l: null });
  const [line] = plan(STEPWISE, fold(STEPWISE, visit.events)).lines;
  expect(line?.steps[0]).toMatchObject({ status: "done", event: "e1" });
});
