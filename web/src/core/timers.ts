/** Times to be told of. They never pause, since chemistry does not. */

import { ms } from "./quantities.ts";
import type {
  AnyEvent,
  Milliseconds,
  Timer,
  TimerAcknowledged,
  TimerSet,
  VisitRecord,
} from "./types.ts";

/**
 * Every timer and what became of it, in the order of keys.
 *
 * @param standing Standing events up to the close, in the order of their keys.
 * @param saidAtMs When each original event said it occurred, before any correction. [ms]
 * @param voided Events that did not happen.
 */
export function timers(
  standing: readonly AnyEvent[],
  saidAtMs: ReadonlyMap<string, number>,
  voided: ReadonlySet<string>,
): readonly Timer[] {
  const movedMs = new Map(
    standing.map((event) => [event.id, event.occurred_at_ms - (saidAtMs.get(event.id) ?? 0)]),
  );
  let found: readonly Timer[] = [];
  for (const event of standing) {
    found = found.map((timer) => after(event, timer));
    if (event.kind === "timer_set") found = [...found, started(event, movedMs, voided)];
  }
  return found;
}

/** The timers that run still. */
export function dueTimers(record: VisitRecord): readonly Timer[] {
  return record.timers.filter((timer) => timer.state === "running");
}

/** Time until a timer is due; 0 once it is. [ms] */
export function remainingMs(timer: Timer, nowMs: Milliseconds): Milliseconds {
  return ms(Math.max(0, timer.due_at_ms - nowMs));
}

function started(
  event: TimerSet,
  movedMs: ReadonlyMap<string, number>,
  voided: ReadonlySet<string>,
): Timer {
  const gone = voided.has(event.runs_from);
  return {
    id: event.id,
    canal: event.timer.canal,
    step: event.timer.step,
    cycle: event.timer.cycle,
    runs_from: event.runs_from,
    due_at_ms: ms(event.due_at_ms + (movedMs.get(event.runs_from) ?? 0)),
    upper_limit: event.upper_limit,
    state: gone ? "ended" : "running",
    by: gone ? event.runs_from : null,
  };
}

function after(event: AnyEvent, timer: Timer): Timer {
  if (timer.state !== "running") return timer;
  switch (event.kind) {
    case "timer_set":
      return isAbout(event, timer) ? { ...timer, state: "replaced", by: event.id } : timer;
    case "timer_acknowledged":
      return isAbout(event, timer) ? { ...timer, state: "acknowledged", by: event.id } : timer;
    default:
      return isNextAct(event, timer) ? { ...timer, state: "acknowledged", by: event.id } : timer;
  }
}

function isAbout({ timer: of }: TimerSet | TimerAcknowledged, timer: Timer): boolean {
  return of.canal === timer.canal && of.step === timer.step && of.cycle === timer.cycle;
}

function isNextAct(event: AnyEvent, timer: Timer): boolean {
  if (event.id === timer.runs_from) return false;
  switch (event.kind) {
    case "irrigant_delivered":
    case "irrigant_removed":
    case "dressing_placed":
    case "canal_filled":
      return event.site === timer.canal;
    case "activation_started":
    case "activation_stopped":
      return event.canal === timer.canal;
    default:
      return false;
  }
}
