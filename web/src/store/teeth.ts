/**
 * Teeth by ISO 3950 code, and the two other notations a clinic may choose to be shown.
 *
 * Source: ISO 3950 (two-digit code); the numbering 1 to 32 from the upper right third molar round to the
 * lower right one; position 1 to 8 with the quadrant's letters. Crosswalk of the three as in the HL7
 * dental data exchange implementation guide. The codes are what is recorded, whatever is shown.
 */

import type { NotationName } from "./shapes";

export const QUADRANTS = [1, 2, 3, 4] as const;
export type Quadrant = (typeof QUADRANTS)[number];

const LETTERS: { readonly [Name in Quadrant]: string } = { 1: "UR", 2: "UL", 3: "LL", 4: "LR" };

/** Quadrant and position of an ISO 3950 code of a permanent tooth; null if it is none. */
export function placeOf(tooth: string): { quadrant: Quadrant; position: number } | null {
  if (!/^[1-4][1-8]$/.test(tooth)) return null;
  return { quadrant: Number(tooth[0]) as Quadrant, position: Number(tooth[1]) };
}

/** Number 1 to 32 of a permanent tooth. [] */
export function universalNumber(quadrant: Quadrant, position: number): number {
  if (quadrant === 1) return 9 - position;
  if (quadrant === 2) return 8 + position;
  return quadrant === 3 ? 25 - position : 24 + position;
}

/** A tooth as the clinic wants it shown; what is no permanent tooth stays its code. */
export function toothText(tooth: string, notation: NotationName): string {
  const place = placeOf(tooth);
  if (place === null || notation === "iso3950") return tooth;
  if (notation === "universal") return String(universalNumber(place.quadrant, place.position));
  return `${LETTERS[place.quadrant]}${place.position}`;
}

/** The teeth of each jaw as they face the person at the chair: upper then lower, right side first. */
export const JAWS: readonly (readonly (readonly string[])[])[] = [
  [side(1, true), side(2, false)],
  [side(4, true), side(3, false)],
];

function side(quadrant: Quadrant, backFirst: boolean): readonly string[] {
  const positions = [1, 2, 3, 4, 5, 6, 7, 8].map((position) => `${quadrant}${position}`);
  return backFirst ? positions.reverse() : positions;
}
