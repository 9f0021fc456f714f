import { expect, test } from "vitest";
import {
  better,
  clockFrom,
  movedApart,
  type RoundTrip,
  read,
  unsetClock,
} from "../../src/store/clock";

/** A question asked at `asked` by the wall clock that took `took`; the server was `ahead` of it. */
function trip(asked: number, took: number, ahead: number, share = 0.5): RoundTrip {
  const serverMs = asked + took * share + ahead;
  return {
    askedWallMs: asked,
    answeredWallMs: asked + took,
    answeredPageMs: asked + took,
    serverMs,
  };
}

test("the shortest of several round trips decides", () => {
  const clock = clockFrom([
    trip(0, 900, 5000, 0.9),
    trip(1000, 40, 5000),
    trip(2000, 300, 5000, 0.1),
  ]);
  expect(clock?.offsetMs).toBe(5000);
  expect(clock?.errorMs).toBe(21);
});

test("the true offset lies within the error, however lopsided the way there and back", () => {
  for (const share of [0, 0.1, 0.5, 0.9, 1]) {
    const clock = clockFrom([trip(1000, 80, -3600_000, share)]);
    expect(Math.abs((clock?.offsetMs ?? 0) + 3600_000)).toBeLessThanOrEqual(clock?.errorMs ?? 0);
  }
});

test("without an answer there is no clock", () => {
  expect(clockFrom([])).toBeNull();
});

test("a clock that was never set has no bound and shows the device's own time", () => {
  expect(read(unsetClock(100, 0), 5100, 5000)).toEqual({ nowMs: 5100, errorMs: null });
});

test("the bound grows with drift: a tenth of a second in a thousand", () => {
  const clock = clockFrom([trip(0, 20, 0)]);
  if (clock === null) throw new Error("no clock");
  expect(read(clock, 1_000_020, 1_000_020)).toEqual({ nowMs: 1_000_020, errorMs: 11 + 100 });
});

test("a wall clock set back an hour does not set the time back", () => {
  const clock = clockFrom([trip(10_000_000, 20, 0)]);
  if (clock === null) throw new Error("no clock");
  const reading = read(clock, 10_000_020 - 3_600_000 + 5000, 10_000_020 + 5000);
  expect(reading).toEqual({ nowMs: 10_000_020 + 5000, errorMs: null });
});

test("after a sleep that stopped the page's clock the time has gone on, without a bound until asked again", () => {
  const clock = clockFrom([trip(0, 20, 0)]);
  if (clock === null) throw new Error("no clock");
  expect(movedApart(clock, 200_020, 20)).toBe(true);
  expect(read(clock, 200_020, 20)).toEqual({ nowMs: 200_020, errorMs: null });
});

test("a reading with the smaller bound by now is kept", () => {
  const near = clockFrom([trip(0, 20, 0)]);
  const far = clockFrom([trip(1000, 400, 0)]);
  if (near === null || far === null) throw new Error("no clock");
  expect(better(far, near, 2000, 2000)).toBe(near);
  expect(better(near, unsetClock(0, 0), 2000, 2000)).toBe(near);
});
