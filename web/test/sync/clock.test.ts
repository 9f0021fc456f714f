import { afterEach, expect, test, vi } from "vitest";
import { aDevice } from "../store/device_store";

afterEach(() => vi.unstubAllGlobals());

test("the server's clock is read by several round trips, and what is logged is dated by it", async () => {
  const { now, commands } = await aDevice();
  const { readServerClock } = await import("../../src/sync/clock");
  const aheadMs = 3_600_000;
  let trips = 0;
  vi.stubGlobal("fetch", async () => {
    trips += 1;
    return new Response(JSON.stringify({ now_ms: Date.now() + aheadMs }), {
      headers: { "content-type": "application/json" },
    });
  });
  const clock = await readServerClock();
  if (clock === null) throw new Error("no clock");
  now.setClock(clock);
  const [event] = await commands.log("01a00000-0000-7000-8000-000000000001", {
    kind: "note_added",
    text: "a",
  });
  expect(trips).toBe(5);
  expect(
    Math.abs((event?.occurred_at_ms ?? 0) - (event?.device_clock_ms ?? 0) - aheadMs),
  ).toBeLessThan(50);
  expect(event?.clock_error_ms).toBeLessThan(50);
});

test("a page that answers in the server's place sets no clock", async () => {
  await aDevice();
  const { readServerClock } = await import("../../src/sync/clock");
  vi.stubGlobal(
    "fetch",
    async () => new Response("<html>", { headers: { "content-type": "text/html" } }),
  );
  expect(await readServerClock()).toBeNull();
});
