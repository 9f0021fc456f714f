/** Judges a plan's vector by the rules of tests/vectors/plan/README.md; knows no answer itself. */

import { plan } from "../../src/core/plan.ts";
import type { At, Plan, PlanLine } from "../../src/core/plan_values.ts";
import { kitOf, recordOf, type VectorCase } from "./judging.ts";

type Parts = { readonly [part: string]: unknown };

/** The plan of a case. */
export function planOf(one: VectorCase): Plan {
  const kit = kitOf(one);
  if (kit === null) throw new Error(`${one.case}: a plan without a kit`);
  return plan(kit, recordOf(one), one.given.visit ?? null);
}

/** What the code answers, cut to the parts and sites that the case states. */
export function answered(one: VectorCase): Parts {
  const told = planOf(one);
  const parts = Object.entries(one.expect).map(([part, expected]) => [
    part,
    answer(part, told, expected),
  ]);
  return Object.fromEntries(parts) as Parts;
}

/** The same parts as expected, rows in the order in which the code's are told. */
export function expected(one: VectorCase): Parts {
  const rows = one.expect.steps as readonly StepRow[] | undefined;
  return rows === undefined ? one.expect : { ...one.expect, steps: inOrder(rows) };
}

interface StepRow {
  readonly site: string;
  readonly step: string;
  readonly cycle: number;
  readonly status: string;
  readonly event: string | null;
}

function answer(part: string, told: Plan, expected: unknown): unknown {
  switch (part) {
    case "steps":
      return inOrder(told.lines.flatMap(touched));
    case "next":
      return bySite(told, expected, (line) => place(line.next));
    case "or_next":
      return bySite(told, expected, (line) => place(line.or_next));
    case "tooth_next":
      return told.next === null ? null : { site: told.next.site, ...place(told.next) };
    case "outside":
      return bySite(told, expected, (line) => line.outside);
    case "left":
      return bySite(told, expected, (line) => line.left);
    case "draw_up":
      return Object.fromEntries(
        told.draw_up.map(({ solution, volume_ul, syringes }) => [
          solution.solution,
          { volume_ul, syringes },
        ]),
      );
    case "visit":
      return told.visit;
    default:
      throw new Error(`a part that is not judged: ${part}`);
  }
}

/** Slots that are not simply open. */
function touched(line: PlanLine): StepRow[] {
  return line.steps
    .filter(({ status, event }) => status !== "open" || event !== null)
    .map(({ step, cycle, status, event }) => ({ site: line.site, step, cycle, status, event }));
}

function inOrder(rows: readonly StepRow[]): string[] {
  return rows
    .map(({ site, step, cycle, status, event }) =>
      JSON.stringify([site, step, cycle, status, event]),
    )
    .sort();
}

function place(at: At | null): { readonly step: string; readonly cycle: number } | null {
  return at === null ? null : { step: at.step, cycle: at.cycle };
}

/** A part of every line that the case names; of all lines if it names none. */
function bySite(told: Plan, expected: unknown, part: (line: PlanLine) => unknown): unknown {
  const named = Object.keys(expected as object);
  const lines = told.lines.filter((line) => named.length === 0 || named.includes(line.site));
  return Object.fromEntries(lines.map((line) => [line.site, part(line)]));
}
