/**
 * Time as a level: full when a contact begins, at the end when what was asked is reached.
 *
 * A level says how much of an asked time is left and nothing else; reaching the end is no upper
 * limit and not "complete". A clinic's limit is another thing and has its own mark.
 */

/** What runs in a canal now, in instants; drawn from these and `now`, never counted down. */
export interface Running {
  readonly fromMs: number;
  /** When the asked contact is reached; null = none asked. */
  readonly dueAtMs: number | null;
  /** When the clinic's upper limit is reached; null = none set. */
  readonly limitAtMs: number | null;
}

export type Phase = "none_asked" | "falling" | "soon" | "reached" | "over_limit";

export interface Level {
  readonly phase: Phase;
  /** Share of the asked time that is left, 1 to 0, in steps of whole seconds. [] */
  readonly share: number;
  readonly remainingMs: number | null;
  readonly elapsedMs: number;
  /** How far past the asked time, or past the limit when over it. [ms] */
  readonly pastMs: number;
}

const SOON_MS = 15_000;
const MS_PER_S = 1000;

/** The level of something that runs, at an instant. */
export function levelAt(running: Running, nowMs: number): Level {
  const elapsedMs = Math.max(0, nowMs - running.fromMs);
  const { dueAtMs, limitAtMs } = running;
  const remainingMs = dueAtMs === null ? null : Math.max(0, dueAtMs - nowMs);
  const share = shareLeft(running, nowMs);
  if (limitAtMs !== null && nowMs >= limitAtMs) {
    return { phase: "over_limit", share, remainingMs, elapsedMs, pastMs: nowMs - limitAtMs };
  }
  if (dueAtMs === null) return { phase: "none_asked", share: 1, remainingMs, elapsedMs, pastMs: 0 };
  if (nowMs >= dueAtMs) {
    return { phase: "reached", share: 0, remainingMs: 0, elapsedMs, pastMs: nowMs - dueAtMs };
  }
  const phase = dueAtMs - nowMs <= SOON_MS ? "soon" : "falling";
  return { phase, share, remainingMs, elapsedMs, pastMs: 0 };
}

function shareLeft(running: Running, nowMs: number): number {
  if (running.dueAtMs === null) return 1;
  const whole = running.dueAtMs - running.fromMs;
  if (whole <= 0) return 0;
  const left = Math.ceil(Math.max(0, running.dueAtMs - nowMs) / MS_PER_S) * MS_PER_S;
  return Math.min(1, left / whole);
}
