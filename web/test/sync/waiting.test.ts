import { expect, test } from "vitest";
import { delayMs, Sleep } from "../../src/sync/waiting";

test("delays double from a second to at most half a minute", () => {
  expect([1, 2, 3, 4, 5, 6, 60].map((failures) => delayMs(failures, 1))).toEqual([
    1000, 2000, 4000, 8000, 16_000, 30_000, 30_000,
  ]);
});

test("half of a delay is random, so that sixty devices do not come back at once", () => {
  const at = Array.from({ length: 60 }, (_, nth) => delayMs(5, nth / 60));
  const windows = at.map((from) => at.filter((one) => one >= from && one < from + 500).length);
  expect(Math.max(...windows)).toBeLessThanOrEqual(15);
  expect(Math.min(...at)).toBe(8000);
});

test("a sleeper that is woken goes on at once", async () => {
  const sleep = new Sleep();
  const slept = sleep.forMs(60_000);
  sleep.wake();
  await expect(slept).resolves.toBeUndefined();
});
