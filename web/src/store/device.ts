/**
 * This device: its identity, who is at it, where it stands and how it is read.
 *
 * The identity lives with the outbox, so that a cleared store comes back as another device and its
 * numbers never begin again under the old name.
 */

import { batch, computed, type ReadonlySignal, signal } from "@preact/signals";
import { answerOf, inTransaction, metaOf, setMeta } from "./disk";
import { uuid7 } from "./ids";
import type { NotationName } from "./shapes";

export type Distance = "hand" | "arm" | "stand" | "wall";
export type Look = "auto" | "dark" | "light";

export interface DeviceSettings {
  readonly title: string;
  readonly room: string | null;
  readonly distance: Distance;
  readonly look: Look;
  /** Length of one millimetre on this glass. [CSS px] */
  readonly pxPerMm: number;
  readonly notation: NotationName | null;
}

/** One CSS pixel is 1/96 inch by definition; glass differs, hence the ruler. */
const CSS_PX_PER_MM = 96 / 25.4;

const UNSET: DeviceSettings = {
  title: "",
  room: null,
  distance: "hand",
  look: "auto",
  pxPerMm: CSS_PX_PER_MM,
  notation: null,
};

const deviceSignal = signal<string | null>(null);
const staffSignal = signal<string | null>(null);
const settingsSignal = signal<DeviceSettings>(UNSET);

/** This device's identity; null until the store has been read. */
export const device: ReadonlySignal<string | null> = deviceSignal;
/** Who is at this device. */
export const staff: ReadonlySignal<string | null> = staffSignal;
export const settings: ReadonlySignal<DeviceSettings> = settingsSignal;
/** A device read from the wall only shows. */
export const isWall = computed(() => settingsSignal.value.distance === "wall");

/** Read the identity and the settings, making the identity where there is none. */
export async function loadDevice(nowMs: number): Promise<void> {
  const identity = await inTransaction(["meta"], "readwrite", async (store) => {
    const kept = await answerOf(store("meta").get("device") as IDBRequest<string | undefined>);
    const made = kept ?? uuid7(nowMs);
    if (kept === undefined) await answerOf(store("meta").put(made, "device"));
    return made;
  });
  const [kept, person] = await Promise.all([
    metaOf<Partial<DeviceSettings>>("settings"),
    metaOf<string>("staff"),
  ]);
  batch(() => {
    deviceSignal.value = identity;
    settingsSignal.value = { ...UNSET, ...kept };
    staffSignal.value = person ?? null;
  });
}

/** Someone takes this device; entries logged before keep the name they were logged under. */
export async function takeDevice(person: string): Promise<void> {
  await setMeta("staff", person);
  staffSignal.value = person;
}

export async function changeSettings(change: Partial<DeviceSettings>): Promise<void> {
  const changed = { ...settingsSignal.value, ...change };
  await setMeta("settings", changed);
  settingsSignal.value = changed;
}
