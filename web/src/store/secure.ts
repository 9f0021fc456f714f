/**
 * What this device lacks because of how the page came: offline use, the wake lock, installing.
 *
 * `plain`: over http from another machine. `refused`: over https that the device does not trust, so the
 * browser keeps no worker. `old`: a browser without workers. null: it lacks nothing, or is not known yet.
 */

import { type ReadonlySignal, signal } from "@preact/signals";

export type Lost = "plain" | "refused" | "old";

const lostSignal = signal<Lost | null>(null);

export const lost: ReadonlySignal<Lost | null> = lostSignal;

/** A browser that has no workers at all: by how the page came, or by its age. */
export function hasNoWorkers(isSecure: boolean): void {
  lostSignal.value = isSecure ? "old" : "plain";
}

/** The browser would not keep the worker; a network that was away is no refusal. */
export function workerRefused(why: unknown): void {
  if (why instanceof DOMException && why.name === "SecurityError") lostSignal.value = "refused";
}
