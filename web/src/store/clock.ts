/**
 * The server's clock as well as this device knows it: offset, error bound, drift.
 *
 * Two clocks of the device take part. The wall clock (`wallMs`) goes on in sleep but can be stepped; the
 * page's own clock (`pageMs`) is never stepped but may stand still in sleep. Where both moved alike
 * since the last reading the offset holds; where they did not, the error is unbounded until the server
 * has been asked again.
 * Not here: asking the server (sync), and the ticking signal (now.ts).
 */

/** One question to the server's clock. */
export interface RoundTrip {
  readonly askedWallMs: number;
  readonly answeredWallMs: number;
  readonly answeredPageMs: number;
  readonly serverMs: number;
}

export interface Clock {
  /** Server's time less the wall clock. [ms] */
  readonly offsetMs: number;
  /** Bound at the moment of the reading; null = unbounded. [ms] */
  readonly errorMs: number | null;
  readonly readAtWallMs: number;
  readonly readAtPageMs: number;
}

export interface Reading {
  readonly nowMs: number;
  readonly errorMs: number | null;
}

/**
 * Drift allowed between two readings. []
 *
 * Source: none found for phones; a choice, above the 20 to 50 ppm usual for quartz oscillators.
 */
export const DRIFT = 100e-6;

/** Difference between the two device clocks that still counts as none. [ms] (choice) */
export const STEP_MS = 250;

export function unsetClock(wallMs: number, pageMs: number): Clock {
  return { offsetMs: 0, errorMs: null, readAtWallMs: wallMs, readAtPageMs: pageMs };
}

/** The clock by the round trip that bounds the error best: half its length. */
export function clockFrom(trips: readonly RoundTrip[]): Clock | null {
  const ordered = trips.filter(lasted).sort((one, other) => length(one) - length(other));
  const best = ordered[0];
  if (best === undefined) return null;
  const halfMs = length(best) / 2;
  return {
    offsetMs: Math.round(best.serverMs + halfMs - best.answeredWallMs),
    errorMs: Math.ceil(halfMs) + 1,
    readAtWallMs: best.answeredWallMs,
    readAtPageMs: best.answeredPageMs,
  };
}

/** Of two readings of the server's clock the one with the smaller bound by now. */
export function better(one: Clock, other: Clock, wallMs: number, pageMs: number): Clock {
  const [a, b] = [read(one, wallMs, pageMs).errorMs, read(other, wallMs, pageMs).errorMs];
  if (a === null) return other;
  return b === null || a <= b ? one : other;
}

/** Server's time and its bound at a pair of device readings. */
export function read(clock: Clock, wallMs: number, pageMs: number): Reading {
  const wallMoved = wallMs - clock.readAtWallMs;
  const pageMoved = pageMs - clock.readAtPageMs;
  const apart = wallMoved - pageMoved;
  const driftMs = Math.ceil(Math.max(wallMoved, pageMoved, 0) * DRIFT);
  if (Math.abs(apart) <= STEP_MS) {
    const errorMs = clock.errorMs === null ? null : clock.errorMs + driftMs;
    return { nowMs: Math.round(wallMs + clock.offsetMs), errorMs };
  }
  if (apart < 0) {
    return { nowMs: Math.round(clock.readAtWallMs + pageMoved + clock.offsetMs), errorMs: null };
  }
  return { nowMs: Math.round(wallMs + clock.offsetMs), errorMs: null };
}

/** Whether the device clocks moved apart: slept or stepped, so that the server must be asked. */
export function movedApart(clock: Clock, wallMs: number, pageMs: number): boolean {
  return Math.abs(wallMs - clock.readAtWallMs - (pageMs - clock.readAtPageMs)) > STEP_MS;
}

function lasted(trip: RoundTrip): boolean {
  return length(trip) >= 0 && Number.isFinite(trip.serverMs);
}

function length(trip: RoundTrip): number {
  return trip.answeredWallMs - trip.askedWallMs;
}
