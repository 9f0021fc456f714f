/** Asks the server's clock: several round trips, of which the shortest bounds the error best. */

import { effect } from "@preact/signals";
import { type Clock, clockFrom, type RoundTrip } from "../store/clock";
import { clockAsked, setClock } from "../store/now";
import { ask } from "./http";
import { delayMs, Sleep } from "./waiting";

const TRIPS = 5;
const AGAIN_MS = 5 * 60_000;

/** One reading of the server's clock; null when it could not be asked. */
export async function readServerClock(trips: number = TRIPS): Promise<Clock | null> {
  const made: RoundTrip[] = [];
  for (let trip = 0; trip < trips; trip += 1) {
    const one = await roundTrip();
    if (one === null && made.length === 0) return null;
    if (one !== null) made.push(one);
  }
  return clockFrom(made);
}

/** Keep the clock read: at the start, every five minutes, and whenever it is asked for. */
export function startClock(): () => void {
  const sleep = new Sleep();
  let running = true;
  const stopAsking = effect(() => {
    if (clockAsked.value > 0) sleep.wake();
  });
  const online = (): void => sleep.wake();
  addEventListener("online", online);
  const keep = async (): Promise<void> => {
    for (let failures = 0; running; ) {
      const reading = await readServerClock();
      if (reading !== null) setClock(reading);
      failures = reading === null ? failures + 1 : 0;
      await sleep.forMs(reading === null ? delayMs(failures) : AGAIN_MS);
    }
  };
  void keep();
  return () => {
    running = false;
    stopAsking();
    removeEventListener("online", online);
    sleep.wake();
  };
}

async function roundTrip(): Promise<RoundTrip | null> {
  const askedWallMs = Date.now();
  const askedPageMs = performance.now();
  try {
    const { now_ms } = await ask<{ now_ms: unknown }>("/clock", { withinMs: 5000 });
    const answeredPageMs = performance.now();
    if (typeof now_ms !== "number") return null;
    const answeredWallMs = Date.now();
    const stepped = Math.abs(answeredWallMs - askedWallMs - (answeredPageMs - askedPageMs)) > 50;
    return stepped ? null : { askedWallMs, answeredWallMs, answeredPageMs, serverMs: now_ms };
  } catch {
    return null;
  }
}
