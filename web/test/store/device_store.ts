/** A device with an empty store, someone at it, and the modules that share that store. */

import { IDBFactory } from "fake-indexeddb";
import { vi } from "vitest";

export async function aDevice(person: string | null = "assistant-1") {
  vi.resetModules();
  globalThis.indexedDB = new IDBFactory();
  const [device, commands, outbox, visits, disk, now, unsaved] = await Promise.all([
    import("../../src/store/device"),
    import("../../src/store/commands"),
    import("../../src/store/outbox"),
    import("../../src/store/visits"),
    import("../../src/store/disk"),
    import("../../src/store/now"),
    import("../../src/store/unsaved"),
  ]);
  await device.loadDevice(1_790_000_000_000);
  if (person !== null) await device.takeDevice(person);
  return { device, commands, outbox, visits, disk, now, unsaved };
}

export const VISIT = "01a00000-0000-7000-8000-000000000001";
export const OTHER_VISIT = "01a00000-0000-7000-8000-000000000002";

/** A short entry for the record. */
export const note = (text: string) => ({ kind: "note_added", text }) as const;
