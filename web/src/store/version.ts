/**
 * A new version of the app: it waits, is announced, and is taken only while no page of this device has a
 * visit open.
 *
 * A page with a visit open shares a lock; the new version needs it alone. Workers and locks exist in the
 * same places (secure origins), so that neither is ever without the other.
 */

import { effect, type ReadonlySignal, signal } from "@preact/signals";
import { visitOpenHere } from "./visits";

const LOCK = "canalclock-visit";

const waitingSignal = signal<ServiceWorker | null>(null);
const newSignal = signal(false);

export const newVersion: ReadonlySignal<boolean> = newSignal;

/** The worker of a new version is installed and waits. */
export function versionWaits(worker: ServiceWorker): void {
  waitingSignal.value = worker;
  newSignal.value = true;
}

/** Let the new version take over; answers whether it may, which is not so while a visit is open here. */
export async function takeNewVersion(): Promise<boolean> {
  const may = await navigator.locks.request(
    LOCK,
    { mode: "exclusive", ifAvailable: true },
    async (lock) => lock !== null && !visitOpenHere.peek(),
  );
  if (may) waitingSignal.peek()?.postMessage("take over");
  return may;
}

/** Share the lock while this page has a visit open; answers how to stop. */
export function startHolding(): () => void {
  const locks = globalThis.navigator.locks as LockManager | undefined;
  if (locks === undefined) return () => undefined;
  return effect(() => {
    if (!visitOpenHere.value) return undefined;
    let release = (): void => undefined;
    const open = new Promise<void>((resolve) => {
      release = resolve;
    });
    void locks.request(LOCK, { mode: "shared" }, () => open);
    return () => release();
  });
}
