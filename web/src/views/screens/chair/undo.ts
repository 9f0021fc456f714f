/**
 * The last thing logged, for as long as it can be taken back with one tap or set right by a step.
 */

import type { Draft } from "../../../store/commands";
import type { Logged } from "../../../store/shapes";

/** How long "undo" stays on the screen. [ms] */
export const UNDO_MS = 10_000;

export interface LastLogged {
  /** What was done, as it was shown. */
  readonly text: string;
  /** The acts, first to last, as they were logged; an undo voids each. */
  readonly events: readonly Logged[];
  readonly atMs: number;
  /** For each act the version that an amendment made here has to replace. */
  readonly versions: ReadonlyMap<string, string>;
}

/** Acts are undone; what the guard said, timers and picks stay as they are. */
const NOT_ACTS = new Set(["guard_spoke", "hold_released", "timer_set", "syringe_picked"]);

export function lastLogged(
  text: string,
  events: readonly Logged[],
  atMs: number,
): LastLogged | null {
  const acts = events.filter((event) => !NOT_ACTS.has(event.kind));
  if (acts.length === 0) return null;
  return { text, events: acts, atMs, versions: new Map(acts.map((act) => [act.id, act.id])) };
}

export function undoLeftMs(last: LastLogged | null, nowMs: number): number {
  return last === null ? 0 : Math.min(UNDO_MS, Math.max(0, last.atMs + UNDO_MS - nowMs));
}

/** What takes the last acts back, the latest first. */
export function undoDrafts(last: LastLogged, reason: string): readonly Draft[] {
  return [...last.events].reverse().map((act) => ({
    kind: "entry_voided",
    entry: act.id,
    replaces: last.versions.get(act.id) ?? act.id,
    reason,
  }));
}

/** The last delivery of these acts, whose amount can be stepped right after. */
export function adjustable(last: LastLogged | null): Logged | null {
  return last?.events.findLast((act) => act.kind === "irrigant_delivered") ?? null;
}

const ENVELOPE = new Set([
  "id",
  "kind",
  "visit",
  "device",
  "device_seq",
  "staff",
  "device_clock_ms",
  "clock_error_ms",
  "dated_by_hand",
]); // prettier-ignore

/** A correction's payload: all payload fields of an event and its time, some of them changed. */
export function payloadOf(
  event: { readonly [field: string]: unknown },
  change: { readonly [field: string]: unknown },
): { readonly [field: string]: unknown } {
  const kept = Object.entries(event).filter(([field]) => !ENVELOPE.has(field));
  return { ...Object.fromEntries(kept), ...change };
}
