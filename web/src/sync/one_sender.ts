/**
 * One sender a device, however many tabs are open.
 *
 * Where the browser has locks, the lock is the browser's and falls with its tab. Elsewhere (plain http on
 * a LAN name) a lease in the device's store is renewed while its tab lives, and runs out when it dies.
 */

import { answerOf, inTransaction } from "../store/disk";

const LOCK = "canalclock-sender";
const LEASE_MS = 6000;
const RENEW_MS = 2000;

interface Lease {
  readonly tab: string;
  readonly untilMs: number;
}

/** Run `act` while this tab is the device's sender; `act` ends when its signal is aborted. */
export function asOneSender(act: (stop: AbortSignal) => Promise<void>): () => void {
  const ending = new AbortController();
  const locks = globalThis.navigator?.locks;
  if (locks === undefined) void underLease(act, ending.signal);
  else {
    locks.request(LOCK, { signal: ending.signal }, () => act(ending.signal)).catch(() => undefined);
  }
  return () => ending.abort();
}

async function underLease(
  act: (stop: AbortSignal) => Promise<void>,
  stop: AbortSignal,
): Promise<void> {
  const tab = crypto.getRandomValues(new Uint32Array(2)).join("-");
  while (!stop.aborted) {
    if (await leased(tab)) {
      const lost = new AbortController();
      const end = (): void => lost.abort();
      stop.addEventListener("abort", end);
      const renewing = setInterval(() => {
        leased(tab).then((held) => held || lost.abort(), end);
      }, RENEW_MS);
      await act(lost.signal).catch(() => undefined);
      clearInterval(renewing);
      stop.removeEventListener("abort", end);
    }
    await new Promise((resolve) => setTimeout(resolve, RENEW_MS));
  }
}

/** Whether this tab holds the lease, taking it if it is free or has run out. */
async function leased(tab: string): Promise<boolean> {
  return inTransaction(["meta"], "readwrite", async (store) => {
    const held = await answerOf(store("meta").get("sender") as IDBRequest<Lease | undefined>);
    if (held !== undefined && held.tab !== tab && held.untilMs > Date.now()) return false;
    const lease: Lease = { tab, untilMs: Date.now() + LEASE_MS };
    await answerOf(store("meta").put(lease, "sender"));
    return true;
  });
}
