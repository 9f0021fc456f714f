/**
 * The one place that decides what is due.
 *
 * A timer is the instant in the record; whether it is due is a question to `now`. The page is woken at the
 * next instant, and a due timer is told of once for each (timer, due_at_ms).
 */

import { computed, effect, type ReadonlySignal } from "@preact/signals";
import type { Timer } from "../core/types.ts";
import { exactNow, now, wakeAt } from "./now";
import { recordOf } from "./records";
import { openVisits, watched } from "./visits";

export interface DueTimer {
  readonly visit: string;
  readonly timer: Timer;
}

/** Seen first so late, a timer is shown and not sounded. [ms] */
export const SOUNDED_WITHIN_MS = 120_000;

/** Whether a running timer's time has come. */
export function isDue(timer: Timer, atMs: number): boolean {
  return timer.state === "running" && timer.due_at_ms <= atMs;
}

const running = computed<readonly DueTimer[]>(() => {
  const open = new Set(openVisits.value.map((row) => row.visit));
  return [...new Set(watched.value)]
    .filter((visit) => open.has(visit))
    .flatMap((visit) => {
      const record = recordOf(visit).value;
      if (record === null || record.closed_at_ms !== null) return [];
      return record.timers
        .filter((timer) => timer.state === "running")
        .map((timer) => ({ visit, timer }));
    });
});

/** Timers of watched visits that are due and not acknowledged. */
export const due: ReadonlySignal<readonly DueTimer[]> = computed(() =>
  running.value.filter(({ timer }) => isDue(timer, now.value)),
);

/** The next instant at which a timer of a watched visit comes due; null = none. */
export const nextDueMs: ReadonlySignal<number | null> = computed(() => {
  const ahead = running.value
    .map(({ timer }) => timer.due_at_ms as number)
    .filter((atMs) => atMs > now.value);
  return ahead.length === 0 ? null : Math.min(...ahead);
});

/**
 * Call `ring` once for each timer that comes due, with whether it is too late to sound it.
 * Answers how to stop.
 */
export function onDue(ring: (due: DueTimer, late: boolean) => void): () => void {
  const rung = new Set<string>();
  const stopRinging = effect(() => {
    for (const one of due.value) {
      const key = `${one.timer.id} ${one.timer.due_at_ms}`;
      if (rung.has(key)) continue;
      rung.add(key);
      ring(one, exactNow() - one.timer.due_at_ms > SOUNDED_WITHIN_MS);
    }
  });
  const stopWaking = effect(() => {
    const atMs = nextDueMs.value;
    return atMs === null ? undefined : wakeAt(atMs, () => undefined);
  });
  return () => {
    stopRinging();
    stopWaking();
  };
}
