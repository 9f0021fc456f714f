/**
 * How contents are marked: letter, pattern and hue of the catalogue, never one of them alone.
 *
 * A mixture shows both letters and the second one's strokes over the first one's ground.
 */

import { strengthText } from "./amounts";

export interface Part {
  readonly irrigant: string;
  readonly concentration_mg_per_l: number | null;
}

/** The fields of a catalogue entry that drawing needs. */
export interface Entry {
  readonly irrigant: string;
  readonly title: string;
  readonly letter: string;
  readonly pattern: string;
  readonly hue: string;
}

export interface Mark {
  /** Names the pattern among an SVG's definitions. */
  readonly key: string;
  readonly letter: string;
  readonly pattern: string;
  readonly ground: string;
  readonly stroke: string;
  /** "N 3 %", for a place where a whole name has no room. */
  readonly short: string;
  /** "Sodium hypochlorite 3 %". */
  readonly long: string;
}

const UNKNOWN: Entry = {
  irrigant: "unknown",
  title: "Unknown",
  letter: "?",
  pattern: "checker",
  hue: "#8a8f94",
};
const DARK_INK = "#0b0f12";
const LIGHT_INK = "#ffffff";

/** One spelling for some contents, whatever the order they were written in. */
export function contentsKey(contents: readonly Part[]): string {
  return [...contents]
    .map((part) => `${part.irrigant}@${part.concentration_mg_per_l ?? "x"}`)
    .sort()
    .join("+");
}

export function sameContents(one: readonly Part[], other: readonly Part[]): boolean {
  return contentsKey(one) === contentsKey(other);
}

/** The mark of some contents by the kit's catalogue; what the catalogue lacks is marked unknown. */
export function markOf(contents: readonly Part[], entries: readonly Entry[]): Mark {
  const ordered = [...contents].sort((a, b) => (a.irrigant < b.irrigant ? -1 : 1));
  const found = ordered.map((part) => entryOf(part.irrigant, entries));
  const [first, second] = [found[0] ?? UNKNOWN, found[1]];
  const spoken = ordered.map((part, index) => {
    const entry = found[index] ?? UNKNOWN;
    return { letter: entry.letter, title: entry.title, strength: strengthOf(part) };
  });
  return {
    key: `mark-${ordered.map((part) => part.irrigant).join("-") || "unknown"}`.replace(
      /[^a-z0-9_-]/g,
      "-",
    ),
    letter: spoken.map((part) => part.letter).join("+") || UNKNOWN.letter,
    pattern: (second ?? first).pattern,
    ground: first.hue,
    stroke: second === undefined ? inkOn(first.hue) : apart(first.hue, second.hue),
    short: spoken.map((part) => part.letter + part.strength).join(" + ") || UNKNOWN.letter,
    long: spoken.map((part) => part.title + part.strength).join(" + ") || UNKNOWN.title,
  };
}

function entryOf(irrigant: string, entries: readonly Entry[]): Entry {
  return entries.find((entry) => entry.irrigant === irrigant) ?? { ...UNKNOWN, title: irrigant };
}

function strengthOf(part: Part): string {
  const rinse = part.irrigant === "water" || part.irrigant === "unknown";
  if (part.concentration_mg_per_l === null) return rinse ? "" : ` ${strengthText(null)}`;
  return ` ${strengthText(part.concentration_mg_per_l)}`;
}

/** Ink that stands out on a ground, by relative luminance (WCAG 2.2, "relative luminance"). */
export function inkOn(hue: string): string {
  return luminance(hue) > 0.18 ? DARK_INK : LIGHT_INK;
}

function apart(ground: string, stroke: string): string {
  return contrast(ground, stroke) >= 1.8 ? stroke : inkOn(ground);
}

/** Contrast ratio of two colours, 1 to 21 (WCAG 2.2, "contrast ratio"). */
export function contrast(one: string, other: string): number {
  const [a, b] = [luminance(one), luminance(other)];
  return (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
}

function luminance(hue: string): number {
  const channel = (at: number): number => {
    const value = Number.parseInt(hue.slice(at, at + 2), 16) / 255;
    return value <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4;
  };
  return 0.2126 * channel(1) + 0.7152 * channel(3) + 0.0722 * channel(5);
}
