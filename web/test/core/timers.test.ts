import { describe, expect, test } from "vitest";
import { fold } from "../../src/core/fold.ts";
import { ms } from "../../src/core/quantities.ts";
import { dueTimers, remainingMs } from "../../src/core/timers.ts";
import type { AnyEvent } from "../../src/core/types.ts";
import { aKit, E, N, SECOND, Visit } from "./builders.ts";

const timer = { canal: "a", step: "wait", cycle: 1 };

function timed(): { readonly visit: Visit; readonly from: AnyEvent } {
  const visit = new Visit(["a", "b"]);
  const from = visit.deliver(10 * SECOND, "a", N);
  const said = { timer, runs_from: from.id, due_at_ms: 70 * SECOND };
  visit.add("timer_set", 11 * SECOND, said);
  return { visit, from };
}

const states = (visit: Visit): string[] =>
  fold(aKit(), visit.events).timers.map((one) => one.state);

describe("a timer", () => {
  test("runs until the next act in its canal, and through acts in others", () => {
    const { visit } = timed();
    visit.deliver(20 * SECOND, "b", N);
    expect(states(visit)).toEqual(["running"]);
    visit.deliver(30 * SECOND, "a", E);
    expect(states(visit)).toEqual(["acknowledged"]);
  });

  test("moves with the event it runs from, and ends with it", () => {
    const { visit, from } = timed();
    visit.correct(20 * SECOND, from, { occurred_at_ms: 4 * SECOND });
    expect(dueTimers(fold(aKit(), visit.events))).toMatchObject([{ due_at_ms: 64 * SECOND }]);
    const other = timed();
    const said = { entry: other.from.id, replaces: other.from.id, reason: "slip" };
    other.visit.add("entry_voided", 20 * SECOND, said);
    expect(states(other.visit)).toEqual(["ended"]);
  });

  test("is replaced by a later one of the same step and cycle only", () => {
    const { visit } = timed();
    const said = { runs_from: "e1", due_at_ms: 90 * SECOND };
    visit.add("timer_set", 12 * SECOND, { timer: { ...timer, cycle: 2 }, ...said });
    expect(states(visit)).toEqual(["running", "running"]);
    visit.add("timer_set", 13 * SECOND, { timer, ...said });
    expect(states(visit)).toEqual(["replaced", "running", "running"]);
  });

  test("has nothing left once it is due, and never less", () => {
    const { visit } = timed();
    const [one] = dueTimers(fold(aKit(), visit.events));
    if (one === undefined) throw new Error("no timer runs");
    expect(remainingMs(one, ms(69 * SECOND))).toBe(SECOND);
    expect(remainingMs(one, ms(99 * SECOND))).toBe(0);
  });
});
