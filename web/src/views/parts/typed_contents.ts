/** The contents of a barrel as someone types them: an irrigant and its strength in % w/v, up to three. */

import { mgPerL } from "../../core/quantities.ts";
import type { Component } from "../../core/types.ts";
import { bound } from "../../store/typed";
import { amountProblem } from "./amount_field";

/** % w/v to mg/L: 1 % is 10 000 mg/L, so four digits. */
export const STRENGTH_DIGITS = 4;
export const MOST_MG_PER_L = 1_000_000;
/** Irrigants that one barrel may hold. [] */
export const MOST_PARTS = 3;

export interface PartDraft {
  readonly irrigant: string;
  /** As typed, in % w/v. */
  readonly strength: string;
}

/** The contents as typed; a strength that cannot be read is unknown. */
export function contentsOf(parts: readonly PartDraft[]): readonly Component[] {
  return parts.map(({ irrigant, strength }) => {
    const read = bound(strength, STRENGTH_DIGITS, MOST_MG_PER_L);
    return {
      irrigant,
      concentration_mg_per_l: read.is === "amount" ? mgPerL(read.amount) : null,
    };
  });
}

/** What is wrong with a typed strength; empty = nothing. */
export function strengthProblems({ strength }: PartDraft): readonly string[] {
  const problem = amountProblem(strength, STRENGTH_DIGITS, "%", MOST_MG_PER_L);
  return problem === null ? [] : [problem];
}
