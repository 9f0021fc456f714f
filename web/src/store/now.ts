/**
 * The one `now`, corrected for the server's clock, and the ticking that brings it up to date.
 *
 * It changes once a second, on the second, at every wake-up, and at instants asked for with `wakeAt`.
 * Nothing is counted: every change reads the clocks anew.
 */

import { type ReadonlySignal, signal } from "@preact/signals";
import { better, type Clock, movedApart, read, unsetClock } from "./clock";

const SECOND_MS = 1000;
/** Longest delay that browsers keep (a signed 32-bit count of milliseconds). */
const LONGEST_MS = 2 ** 31 - 1;

const wallMs = (): number => Date.now();
const pageMs = (): number => performance.now();

let clock: Clock = unsetClock(wallMs(), pageMs());
const nowSignal = signal(exactNow());
const errorSignal = signal<number | null>(null);
const askSignal = signal(0);

/** The best estimate of the server's time, as last ticked. [ms since 1970] */
export const now: ReadonlySignal<number> = nowSignal;

/** Bound of its error; null = unbounded. [ms] */
export const clockError: ReadonlySignal<number | null> = errorSignal;

/** Grows when the server's clock must be asked again. */
export const clockAsked: ReadonlySignal<number> = askSignal;

/** The same estimate read this very instant, for what is logged. */
export function exactNow(): number {
  return read(clock, wallMs(), pageMs()).nowMs;
}

/** What an event's envelope says of the clocks. */
export function stamp(): {
  occurred_at_ms: number;
  device_clock_ms: number;
  clock_error_ms: number | null;
} {
  const device = wallMs();
  const { nowMs, errorMs } = read(clock, device, pageMs());
  return { occurred_at_ms: nowMs, device_clock_ms: device, clock_error_ms: errorMs };
}

/** Take a new reading of the server's clock, unless the one at hand is bounded better. */
export function setClock(reading: Clock): void {
  const [wall, page] = [wallMs(), pageMs()];
  clock = movedApart(clock, wall, page) ? reading : better(reading, clock, wall, page);
  tick();
}

/** Bring `now` up to date at once. */
export function tick(): void {
  const [wall, page] = [wallMs(), pageMs()];
  const { nowMs, errorMs } = read(clock, wall, page);
  if (movedApart(clock, wall, page) && errorSignal.peek() !== null) askSignal.value += 1;
  errorSignal.value = errorMs;
  nowSignal.value = nowMs;
}

/** Call back at an instant, never early; the answer calls it off. */
export function wakeAt(atMs: number, act: () => void): () => void {
  let handle: ReturnType<typeof setTimeout>;
  const wait = (): void => {
    const leftMs = atMs - exactNow();
    if (leftMs <= 0) {
      tick();
      act();
      return;
    }
    handle = setTimeout(wait, Math.min(leftMs, LONGEST_MS));
  };
  handle = setTimeout(wait, Math.min(Math.max(0, atMs - exactNow()), LONGEST_MS));
  return () => clearTimeout(handle);
}

/** Tick on every second and at every wake-up until called off. */
export function startTicking(): () => void {
  let handle: ReturnType<typeof setTimeout>;
  const next = (): void => {
    tick();
    handle = setTimeout(next, SECOND_MS - (exactNow() % SECOND_MS));
  };
  next();
  const wake = (): void => tick();
  const ways: readonly [EventTarget, string][] = [
    [document, "visibilitychange"],
    [globalThis, "pageshow"],
    [globalThis, "focus"],
    [globalThis, "online"],
  ];
  for (const [target, name] of ways) target.addEventListener(name, wake);
  return () => {
    clearTimeout(handle);
    for (const [target, name] of ways) target.removeEventListener(name, wake);
  };
}
