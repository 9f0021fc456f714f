/** The clinic, its protocols and kits as last heard, kept so that the app opens without a network. */

import { computed, type ReadonlySignal, type Signal, signal } from "@preact/signals";
import type { Kit } from "../core/types.ts";
import { bringCore } from "./core";
import { device, settings, staff } from "./device";
import { answerOf, inTransaction, metaOf, setMeta } from "./disk";
import type { Clinic, KitRow, NotationName, ProtocolRow } from "./shapes";

export type KitState =
  | { readonly at: "here"; readonly kit: Kit }
  | { readonly at: "fetching" }
  | { readonly at: "missing" }
  /** The server has none of that digest. */
  | { readonly at: "unknown" };

const clinicSignal = signal<Clinic | null>(null);
const protocolsSignal = signal<readonly ProtocolRow[] | null>(null);
const kitRowsSignal = signal<readonly KitRow[] | null>(null);
const kitSignals = new Map<string, Signal<KitState>>();
const wantedSignal = signal<readonly string[]>([]);

export const clinic: ReadonlySignal<Clinic | null> = clinicSignal;
export const protocols: ReadonlySignal<readonly ProtocolRow[] | null> = protocolsSignal;
export const kitRows: ReadonlySignal<readonly KitRow[] | null> = kitRowsSignal;
/** Digests of kits that a screen waits for; sync fetches them. */
export const wantedKits: ReadonlySignal<readonly string[]> = wantedSignal;

/** Who is at this device, as the clinic lists them. */
export const person = computed(
  () => clinicSignal.value?.staff.find((member) => member.staff === staff.value) ?? null,
);
export const notation = computed<NotationName>(
  () => settings.value.notation ?? clinicSignal.value?.notation_default ?? "iso3950",
);
/** The clinic's time zone; the device's own until the clinic has been heard. */
export const zone = computed(
  () => clinicSignal.value?.zone ?? Intl.DateTimeFormat().resolvedOptions().timeZone,
);
export const ready = computed(() => device.value !== null);

export function roomTitle(room: string): string {
  return clinicSignal.value?.rooms.find((one) => one.room === room)?.title ?? room;
}

export function staffTitle(id: string): string {
  return clinicSignal.value?.staff.find((one) => one.staff === id)?.title ?? id;
}

/** The kit of a digest; asking for it has it read from the disk or fetched. */
export function kitOf(digest: string): ReadonlySignal<KitState> {
  const known = kitSignals.get(digest);
  if (known !== undefined) return known;
  const made = signal<KitState>({ at: "fetching" });
  kitSignals.set(digest, made);
  loadKit(digest).catch(() => undefined);
  return made;
}

/** A kit's document came, its digest already proved. */
export async function keepKit(digest: string, text: string): Promise<void> {
  const { readKit } = await bringCore();
  setKit(digest, { at: "here", kit: readKit(text) });
  await inTransaction(["kits"], "readwrite", async (store) => {
    await answerOf(store("kits").put(text, digest));
  });
}

export function kitUnreachable(digest: string): void {
  if (kitSignals.get(digest)?.peek().at === "fetching") setKit(digest, { at: "missing" });
}

/** The server was asked and has no such kit: nobody waits for it any longer. */
export function kitUnknown(digest: string): void {
  if (kitSignals.get(digest)?.peek().at !== "here") setKit(digest, { at: "unknown" });
}

export async function loadClinic(): Promise<void> {
  clinicSignal.value = (await metaOf<Clinic>("clinic")) ?? null;
  protocolsSignal.value = (await metaOf<readonly ProtocolRow[]>("protocols")) ?? null;
  kitRowsSignal.value = (await metaOf<readonly KitRow[]>("kit_rows")) ?? null;
}

export async function keepClinic(heard: Clinic): Promise<void> {
  clinicSignal.value = heard;
  await setMeta("clinic", heard);
}

export async function keepProtocols(
  heard: readonly ProtocolRow[],
  kits: readonly KitRow[],
): Promise<void> {
  protocolsSignal.value = heard;
  kitRowsSignal.value = kits.filter((row) => row.current !== false);
  await Promise.all([setMeta("protocols", heard), setMeta("kit_rows", kitRowsSignal.peek())]);
  for (const row of kitRowsSignal.peek() ?? []) kitOf(row.kit);
}

async function loadKit(digest: string): Promise<void> {
  const text = await inTransaction(["kits"], "readonly", (store) =>
    answerOf(store("kits").get(digest) as IDBRequest<string | undefined>),
  ).catch(() => undefined);
  if (text === undefined) {
    wantedSignal.value = [...new Set([...wantedSignal.peek(), digest])];
    return;
  }
  const { readKit } = await bringCore();
  setKit(digest, { at: "here", kit: readKit(text) });
}

function setKit(digest: string, state: KitState): void {
  const known = kitSignals.get(digest);
  if (known === undefined) kitSignals.set(digest, signal(state));
  else known.value = state;
  if ((state.at === "here" || state.at === "unknown") && wantedSignal.peek().includes(digest)) {
    wantedSignal.value = wantedSignal.peek().filter((one) => one !== digest);
  }
}
