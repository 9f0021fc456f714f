import { expect, test } from "vitest";
import { fold } from "../../src/core/fold.ts";
import { plan } from "../../src/core/plan.ts";
import type { AnyEvent } from "../../src/core/types.ts";
import { aKit, N, SECOND, Visit } from "./builders.ts";
import { kitNamed } from "./judging.ts";

/** Two hours of work in four canals. */
function aLongVisit(count: number): readonly AnyEvent[] {
  const canals = ["mb1", "mb2", "db", "p"];
  const visit = new Visit(canals);
  for (let at = 1; visit.events.length < count; at += 1) {
    const canal = canals[at % canals.length] ?? "p";
    const depth = 12_000 + 1000 * (at % 8);
    visit.deliver(40 * at * SECOND, canal, N, { tip_um: depth, duration_ms: 10 * SECOND });
    visit.add("instrument_used", (40 * at + 20) * SECOND, { canal, length_um: depth + 500 });
    if (at % 5 === 0) visit.points((40 * at + 30) * SECOND, canal);
  }
  return visit.events;
}

/** Least processor time of a few runs, which other work on the machine cannot lengthen. [ms] */
function leastMs(run: () => void): number {
  const spent = Array.from({ length: 15 }, () => {
    const before = process.cpuUsage();
    run();
    const { user, system } = process.cpuUsage(before);
    return (user + system) / 1000;
  });
  return Math.min(...spent);
}

test("a visit of 200 events folds well within a frame", () => {
  const events = aLongVisit(200);
  expect(leastMs(() => fold(aKit(), events))).toBeLessThan(10);
});

test("the next act is planned again within 50 ms of an event, a slow phone allowed for", () => {
  const events = aLongVisit(200);
  const kit = kitNamed("stepwise");
  expect(leastMs(() => plan(kit, fold(kit, events)))).toBeLessThan(15);
});

test("the time grows with the events and not with their square", () => {
  const kit = aKit();
  const [some, more] = [aLongVisit(300), aLongVisit(1200)];
  const ratio = leastMs(() => fold(kit, more)) / leastMs(() => fold(kit, some));
  expect(ratio).toBeLessThan(12);
});
