/**
 * What to draw of one canal at the chair: from what is known of it now to marks in a picture.
 *
 * Plain values in, plain values out; `now` is an argument. What a model places by depth is called
 * expected, never measured.
 */

import { elapsedText, remainingText } from "../../canal/amounts";
import { type CanalForm, halfAt, type Placed, type ToothPicture, yOf } from "../../canal/geometry";
import { type Level, levelAt, type Running } from "../../canal/level";
import { type Entry, type Mark, markOf, type Part } from "../../canal/marks";

export interface BandNow {
  readonly fromUm: number;
  readonly toUm: number;
  readonly contents: readonly Part[];
}

/** What the record and the plan say of one canal at one instant. */
export interface CanalNow extends CanalForm {
  readonly name: string | null;
  readonly state: string | null;
  readonly bands: readonly BandNow[];
  /** Deepest depth that the last delivery here is expected to have reached; null = none yet. */
  readonly reachedToUm: number | null;
  /** Where the needle's tip was at the last delivery here; null = unknown or none. */
  readonly tipUm: number | null;
  readonly running: Running | null;
  /** An activation that was started and not stopped; `forMs` is what the step asks. */
  readonly activation: { readonly fromMs: number; readonly forMs: number | null } | null;
  readonly dried: boolean;
  readonly joins: { readonly canal: string; readonly shortOfWlUm: number } | null;
  readonly stepsLeft: number | null;
}

export interface Fill {
  readonly y: number;
  readonly height: number;
  readonly mark: Mark;
  readonly fromUm: number;
  readonly toUm: number;
}

export type ClockKind =
  | "left"
  | "reached"
  | "over_limit"
  | "in"
  | "dry"
  | "empty"
  | "filled"
  | "left_alone";

export interface ColumnView {
  readonly canal: string;
  readonly placed: Placed;
  readonly fills: readonly Fill[];
  readonly level: Level | null;
  /** Where the level stands. [px from the reference point] */
  readonly levelY: number;
  readonly unreached: {
    readonly y: number;
    readonly height: number;
    readonly lastUm: number;
  } | null;
  readonly tip: { readonly y: number; readonly half: number } | null;
  readonly letter: { readonly y: number; readonly mark: Mark } | null;
  readonly clock: { readonly kind: ClockKind; readonly text: string | null };
  readonly activation: {
    readonly text: string;
    /** False while counting up: none asked, or what was asked has passed. */
    readonly countsDown: boolean;
  } | null;
}

/** The view of one canal: where its fills, level, tip and clock stand at `nowMs`. */
export function columnView(
  canal: CanalNow,
  placed: Placed,
  picture: ToothPicture,
  entries: readonly Entry[],
  nowMs: number,
): ColumnView {
  const fills = fillsOf(canal, placed, picture, entries);
  const level = canal.running === null ? null : levelAt(canal.running, nowMs);
  const bottom = Math.max(placed.orificeY, ...fills.map((fill) => fill.y + fill.height));
  return {
    canal: canal.canal,
    placed,
    fills,
    level,
    levelY: placed.orificeY + (1 - (level?.share ?? 1)) * (bottom - placed.orificeY),
    unreached: unreachedOf(canal, placed, picture),
    tip: tipOf(canal, placed, picture),
    letter: letterOf(fills),
    clock: clockOf(canal, fills, level),
    activation: activationOf(canal, nowMs),
  };
}

function fillsOf(
  canal: CanalNow,
  placed: Placed,
  picture: ToothPicture,
  entries: readonly Entry[],
): readonly Fill[] {
  return canal.bands
    .map((band) => {
      const y = yOf(picture, placed, band.fromUm);
      const height = yOf(picture, placed, band.toUm) - y;
      return {
        y,
        height,
        mark: markOf(band.contents, entries),
        fromUm: band.fromUm,
        toUm: band.toUm,
      };
    })
    .filter((fill) => fill.height > 0);
}

/** The last part of a canal that what was put in is not expected to have reached. */
function unreachedOf(
  canal: CanalNow,
  placed: Placed,
  picture: ToothPicture,
): ColumnView["unreached"] {
  const length = canal.workingLengthUm;
  if (length === null || canal.reachedToUm === null || canal.bands.length === 0) return null;
  const lastUm = length - canal.reachedToUm;
  if (lastUm <= 0) return null;
  const y = yOf(picture, placed, canal.reachedToUm);
  return { y, height: placed.endY - y, lastUm };
}

function tipOf(canal: CanalNow, placed: Placed, picture: ToothPicture): ColumnView["tip"] {
  if (canal.tipUm === null) return null;
  const y = yOf(picture, placed, canal.tipUm);
  return { y, half: halfAt(placed, y) };
}

/** The letter stands in the tallest fill: one plate a canal, where there is room. */
function letterOf(fills: readonly Fill[]): ColumnView["letter"] {
  const tallest = [...fills].sort((a, b) => b.height - a.height)[0];
  if (tallest === undefined) return null;
  return { y: tallest.y + tallest.height / 2, mark: tallest.mark };
}

function clockOf(
  canal: CanalNow,
  fills: readonly Fill[],
  level: Level | null,
): ColumnView["clock"] {
  if (canal.state === "filled") return { kind: "filled", text: null };
  if (canal.state === "left") return { kind: "left_alone", text: null };
  if (fills.length === 0) return { kind: canal.dried ? "dry" : "empty", text: null };
  if (level === null) return { kind: "in", text: null };
  if (level.phase === "over_limit") return { kind: "over_limit", text: elapsedText(level.pastMs) };
  if (level.phase === "reached") return { kind: "reached", text: elapsedText(level.pastMs) };
  if (level.remainingMs === null) return { kind: "in", text: elapsedText(level.elapsedMs) };
  return { kind: "left", text: remainingText(level.remainingMs) };
}

function activationOf(canal: CanalNow, nowMs: number): ColumnView["activation"] {
  if (canal.activation === null) return null;
  const passed = Math.max(0, nowMs - canal.activation.fromMs);
  const left = canal.activation.forMs === null ? null : canal.activation.forMs - passed;
  if (left === null) return { text: elapsedText(passed), countsDown: false };
  if (left <= 0) return { text: elapsedText(-left), countsDown: false };
  return { text: remainingText(left), countsDown: true };
}
