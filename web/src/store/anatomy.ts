/**
 * Teeth by ISO 3950 code, the two other notations a clinic may choose to be shown, and the canals to
 * suggest. What is recorded is the code, whatever is shown; suggestions never limit what may be there.
 *
 * Source: ISO 3950 (two-digit code); crosswalk of the three notations as in the HL7 dental data exchange
 * implementation guide. Canals: usual counts and names of dental anatomy tables; the second mesiobuccal
 * canal of the upper first molar as the rule, 64 to 77 % in CBCT and micro-CT series.
 * tests/vectors/anatomy.json holds every tooth.
 */

import type { NotationName } from "./shapes";

export interface Suggestion {
  readonly canals: readonly string[];
  /** Usual range of their number. [] */
  readonly least: number;
  readonly most: number;
  /** Others that are often looked for. */
  readonly also: readonly string[];
}

interface Place {
  /** 1 to 4; the primary quadrants 5 to 8 lie over them. */
  readonly quadrant: number;
  readonly position: number;
  readonly primary: boolean;
}

const LETTERS = ["UR", "UL", "LL", "LR"] as const;
const PRIMARY_POSITIONS = "ABCDE";

const single = (most: number, ...also: string[]): Suggestion => ({
  canals: ["single"],
  least: 1,
  most,
  also,
});
const several = (canals: string, least: number, most: number, ...also: string[]): Suggestion => ({
  canals: canals.split(" "),
  least,
  most,
  also,
});

const UPPER: readonly Suggestion[] = [
  single(2),
  single(2),
  single(2),
  several("b p", 1, 3, "mb", "db"),
  single(3, "b", "p"),
  several("mb1 mb2 db p", 3, 5, "mb3"),
  several("mb db p", 2, 4, "mb2"),
  several("mb db p", 1, 4),
];
const LOWER: readonly Suggestion[] = [
  single(2, "b", "l"),
  single(2, "b", "l"),
  single(2, "b", "l"),
  single(3, "b", "l"),
  single(3, "b", "l"),
  several("mb ml d", 2, 5, "db", "dl", "mm"),
  several("mb ml d", 1, 4, "db", "dl"),
  several("m d", 1, 4, "mb", "ml"),
];
const PRIMARY_UPPER: readonly Suggestion[] = [
  single(1),
  single(1),
  single(1),
  several("mb db p", 3, 4, "mb2"),
  several("mb db p", 3, 4, "mb2"),
];
const PRIMARY_LOWER: readonly Suggestion[] = [
  single(1),
  single(1),
  single(1),
  several("mb ml db dl", 2, 4, "d"),
  several("mb ml db dl", 3, 4, "d"),
];

/** Canals to suggest for a tooth; null if the code is no tooth. */
export function suggestionFor(tooth: string): Suggestion | null {
  const place = placeOf(tooth);
  if (place === null) return null;
  const upper = place.quadrant <= 2;
  const rows = place.primary ? (upper ? PRIMARY_UPPER : PRIMARY_LOWER) : upper ? UPPER : LOWER;
  return rows[place.position - 1] ?? null;
}

/** A tooth as the clinic wants it shown; what is no tooth stays as it is written. */
export function toothText(tooth: string, notation: NotationName): string {
  const place = placeOf(tooth);
  if (place === null || notation === "iso3950") return tooth;
  return notation === "universal" ? universal(place) : quadrant(place);
}

/** The teeth of each jaw as they face the person at the chair: upper then lower, right side first. */
export function jaws(primary: boolean): readonly (readonly (readonly string[])[])[] {
  const over = primary ? 4 : 0;
  const side = (number: number, backFirst: boolean): readonly string[] => {
    const positions = Array.from(
      { length: primary ? 5 : 8 },
      (_, index) => `${number + over}${index + 1}`,
    );
    return backFirst ? positions.reverse() : positions;
  };
  return [
    [side(1, true), side(2, false)],
    [side(4, true), side(3, false)],
  ];
}

function placeOf(tooth: string): Place | null {
  if (!/^([1-4][1-8]|[5-8][1-5])$/.test(tooth)) return null;
  const number = Number(tooth[0]);
  const primary = number > 4;
  return { quadrant: primary ? number - 4 : number, position: Number(tooth[1]), primary };
}

/** Counted round from the upper right third molar: 1 to 32, or A to T of the primary teeth. */
function universal({ quadrant: number, position, primary }: Place): string {
  const side = primary ? 5 : 8;
  const count = [
    side + 1 - position,
    side + position,
    3 * side + 1 - position,
    3 * side + position,
  ];
  const at = count[number - 1] ?? 0;
  return primary ? String.fromCharCode("A".charCodeAt(0) + at - 1) : String(at);
}

function quadrant({ quadrant: number, position, primary }: Place): string {
  const place = primary ? PRIMARY_POSITIONS[position - 1] : String(position);
  return `${LETTERS[number - 1]}${place}`;
}
