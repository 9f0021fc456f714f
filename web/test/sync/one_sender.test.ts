import { afterEach, expect, test, vi } from "vitest";
import { aDevice } from "../store/device_store";

afterEach(() => vi.unstubAllGlobals());

test("without the browser's locks one tab sends at a time, and another goes on when it stops", async () => {
  await aDevice();
  vi.stubGlobal("navigator", {});
  const { asOneSender } = await import("../../src/sync/one_sender");
  const sending = new Set<string>();
  const most: number[] = [];
  const tab = (name: string) =>
    asOneSender(async (stop) => {
      sending.add(name);
      most.push(sending.size);
      await new Promise<void>((resolve) => stop.addEventListener("abort", () => resolve()));
      sending.delete(name);
    });
  const stopFirst = tab("first");
  await vi.waitFor(() => expect([...sending]).toEqual(["first"]));
  const stopSecond = tab("second");
  await new Promise((resolve) => setTimeout(resolve, 200));
  expect([...sending]).toEqual(["first"]);
  stopFirst();
  await vi.waitFor(() => expect([...sending]).toEqual(["second"]), {
    timeout: 10_000,
    interval: 100,
  });
  expect(Math.max(...most)).toBe(1);
  stopSecond();
}, 15_000);
