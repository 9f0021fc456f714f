/** Taps that this device could not save; the screen says so until they are saved. */

import { type ReadonlySignal, signal } from "@preact/signals";

const waitingSignal = signal<readonly (() => Promise<unknown>)[]>([]);

/** How to save each of them, in the order they were tapped. */
export const unsaved: ReadonlySignal<readonly unknown[]> = waitingSignal;

/** A tap could not be saved; `save` tries again with the time of the tap. */
export function notSaved(save: () => Promise<unknown>): void {
  waitingSignal.value = [...waitingSignal.peek(), save];
}

/** Try all of them again; those that are saved leave, the first that is not stops it. */
export async function saveAgain(): Promise<void> {
  for (const save of waitingSignal.peek()) {
    await save();
    waitingSignal.value = waitingSignal.peek().filter((one) => one !== save);
  }
}
