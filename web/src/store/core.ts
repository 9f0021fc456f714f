/**
 * The core as the store uses it, brought while the first screen is already there.
 *
 * Whatever needs it waits: a record is unknown until then, a tap is logged as soon as it has come.
 */

import { type ReadonlySignal, signal } from "@preact/signals";

export type Core = typeof import("./core_parts.ts");

const coreSignal = signal<Core | null>(null);
let bringing: Promise<Core> | null = null;

/** The core; null until it has come. */
export const core: ReadonlySignal<Core | null> = coreSignal;

/** The core, brought if need be; a failure to bring it may be tried again. */
export function bringCore(): Promise<Core> {
  bringing ??= import("./core_parts.ts").then(
    (parts) => {
      coreSignal.value = parts;
      return parts;
    },
    (failure: unknown) => {
      bringing = null;
      throw failure;
    },
  );
  return bringing;
}
