/**
 * The visits: rows as the server lists them, and the entries of those that a screen watches.
 *
 * What is pending on this device stands beside the entries until the server has it; an entry is known
 * by its id, so that it counts once wherever it is seen.
 */

import { batch, computed, effect, type ReadonlySignal, type Signal, signal } from "@preact/signals";
import type { Heard, VisitOpened } from "../core/types.ts";
import { type Core, core } from "./core";
import { allOf, answerOf, inTransaction, metaOf, setMeta } from "./disk";
import { dropSettled, outbox } from "./outbox";
import { route, type ScreenName } from "./route";
import type { Entry, Head, Logged, VisitRow } from "./shapes";

interface HeadRow extends Head {
  readonly visit: string;
}

/** The events of a visit as far as this device has them. */
export interface VisitEvents {
  readonly entries: readonly Entry[];
  readonly pending: readonly Logged[];
  /** All of them, each once, ready for the fold. */
  readonly heard: readonly Heard[];
  /** Head of what the server has told; null = nothing yet. */
  readonly head: Head | null;
}

const WORKING: ReadonlySet<ScreenName> = new Set(["chair", "incident", "open_visit"]);

const rowsSignal = signal<readonly VisitRow[]>([]);
const watchedSignal = signal<readonly string[]>([]);
const entrySignals = new Map<string, Signal<readonly Entry[]>>();
const eventSignals = new Map<string, ReadonlySignal<VisitEvents>>();
const readings = new WeakMap<Logged, Heard>();

/** Visits that some screen watches; sync keeps them up to date. */
export const watched: ReadonlySignal<readonly string[]> = watchedSignal;

/** Every visit known here: the server's rows, and those opened here that it has not heard of. */
export const visits = computed<readonly VisitRow[]>(() => {
  const listed = new Set(rowsSignal.value.map((row) => row.visit));
  const pending = outbox.value.map((one) => one.event);
  const own = pending.filter(isOpening).filter((event) => !listed.has(event.visit));
  const closed = new Map(
    pending
      .filter((event) => event.kind === "visit_closed")
      .map((event) => [event.visit, event.occurred_at_ms]),
  );
  return [...rowsSignal.value, ...own.map(rowOf)].map((row) => ({
    ...row,
    closed_at_ms: row.closed_at_ms ?? closed.get(row.visit) ?? null,
  }));
});

export const openVisits = computed(() => visits.value.filter((row) => row.closed_at_ms === null));

/** Whether this page would lose or interrupt something by being loaded anew. */
export const visitOpenHere = computed(
  () => outbox.value.length > 0 || WORKING.has(route.value?.screen ?? "rooms"),
);

export function visitRow(visit: string): VisitRow | null {
  return visits.value.find((row) => row.visit === visit) ?? null;
}

const HERE = "canalclock-chair";
const lastHere = signal(globalThis.localStorage?.getItem(HERE) ?? null);
effect(() => {
  const here = route.value;
  if (here?.screen !== "chair" || here.subject === null) return;
  lastHere.value = here.subject;
  try {
    localStorage.setItem(HERE, here.subject);
  } catch {
    // only a reload would lose it
  }
});

/** The visit at whose chair this device last was, while it is open. */
export const visitHere = computed(
  () => openVisits.value.find((row) => row.visit === lastHere.value) ?? null,
);

/** Keep a visit's entries up to date until called off. */
export function watch(visit: string): () => void {
  watchedSignal.value = [...watchedSignal.peek(), visit];
  void loadEntries(visit);
  return () => {
    const left = [...watchedSignal.peek()];
    left.splice(left.indexOf(visit), 1);
    watchedSignal.value = left;
  };
}

/** Keep every open visit's record up to date until called off: for the rooms. */
export function watchOpenVisits(): () => void {
  const stops = new Map<string, () => void>();
  const stop = effect(() => {
    const open = new Set(openVisits.value.map((row) => row.visit));
    for (const visit of open) if (!stops.has(visit)) stops.set(visit, watch(visit));
    for (const [visit, end] of stops) {
      if (open.has(visit)) continue;
      end();
      stops.delete(visit);
    }
  });
  return () => {
    stop();
    for (const end of stops.values()) end();
  };
}

/** The events of a visit; watch it to have them brought up to date. */
export function eventsOf(visit: string): ReadonlySignal<VisitEvents> {
  const known = eventSignals.get(visit);
  if (known !== undefined) return known;
  const made = computed(() => {
    const entries = entriesOf(visit).value;
    const here = new Set(entries.map((entry) => entry.event.id));
    const pending = outbox.value
      .map((one) => one.event)
      .filter((event) => event.visit === visit && !here.has(event.id));
    const parts = core.value;
    const heard =
      parts === null ? [] : readEach([...entries.map((entry) => entry.event), ...pending], parts);
    const last = entries.at(-1);
    const head = last === undefined ? null : { seq: last.seq, digest: last.digest ?? "" };
    return { entries, pending, heard, head };
  });
  eventSignals.set(visit, made);
  return made;
}

/** Where reading a visit's entries goes on. */
export async function cursorOf(visit: string): Promise<number> {
  const head = await inTransaction(["heads"], "readonly", (store) =>
    answerOf(store("heads").get(visit) as IDBRequest<HeadRow | undefined>),
  ).catch(() => undefined);
  return head?.seq ?? entriesOf(visit).peek().at(-1)?.seq ?? 0;
}

/** Entries that the server has told; those that were pending here stop being so. */
export async function keepEntries(visit: string, told: readonly Entry[]): Promise<void> {
  const last = told.at(-1);
  if (last === undefined) return;
  addEntries(visit, told);
  await inTransaction(["entries", "heads"], "readwrite", async (store) => {
    for (const entry of told) await answerOf(store("entries").put(entry));
    const known = await answerOf(store("heads").get(visit) as IDBRequest<HeadRow | undefined>);
    if (known === undefined || known.seq < last.seq) {
      const head: HeadRow = { visit, seq: last.seq, digest: last.digest ?? "" };
      await answerOf(store("heads").put(head));
    }
  }).catch(() => undefined);
}

/** Entries recorded by the server's answer to our own lines; reading will bring their digests. */
export function showRecorded(visit: string, recorded: readonly Entry[]): void {
  batch(() => {
    if (entrySignals.has(visit)) addEntries(visit, recorded);
    dropSettled(new Set(recorded.map((entry) => entry.event.id)));
  });
}

const absentSignal = signal<ReadonlySet<string>>(new Set());
/** Visits that the server was asked for and has nothing of. */
export const absent: ReadonlySignal<ReadonlySet<string>> = absentSignal;

export function visitAbsent(visit: string): void {
  absentSignal.value = new Set([...absentSignal.peek(), visit]);
}

export async function loadVisits(): Promise<void> {
  rowsSignal.value = (await metaOf<readonly VisitRow[]>("visits").catch(() => undefined)) ?? [];
}

export async function keepVisits(rows: readonly VisitRow[]): Promise<void> {
  rowsSignal.value = rows;
  await setMeta("visits", rows).catch(() => undefined);
}

/** Another ledger answers: what was read of the old one is no longer known. */
export async function forgetEntries(): Promise<void> {
  await inTransaction(["entries", "heads"], "readwrite", async (store) => {
    await answerOf(store("entries").clear());
    await answerOf(store("heads").clear());
  });
  batch(() => {
    for (const one of entrySignals.values()) one.value = [];
  });
}

function entriesOf(visit: string): Signal<readonly Entry[]> {
  const known = entrySignals.get(visit);
  if (known !== undefined) return known;
  const made = signal<readonly Entry[]>([]);
  entrySignals.set(visit, made);
  return made;
}

async function loadEntries(visit: string): Promise<void> {
  const range = IDBKeyRange.bound([visit, 0], [visit, Number.MAX_SAFE_INTEGER]);
  addEntries(visit, await allOf<Entry>("entries", range).catch(() => []));
}

function addEntries(visit: string, told: readonly Entry[]): void {
  if (told.length === 0) return;
  const kept = entriesOf(visit);
  const bySeq = new Map(kept.peek().map((entry) => [entry.seq, entry]));
  for (const entry of told) {
    const known = bySeq.get(entry.seq);
    bySeq.set(
      entry.seq,
      known?.digest && !entry.digest ? known : { ...entry, event: known?.event ?? entry.event },
    );
  }
  kept.value = [...bySeq.values()].sort((one, other) => one.seq - other.seq);
}

/** What cannot be read even as "unread" is left to the server, whose record tells. */
function readEach(events: readonly Logged[], { readHeard }: Core): readonly Heard[] {
  return events.flatMap((event) => {
    const known = readings.get(event);
    if (known !== undefined) return [known];
    try {
      const heard = readHeard(event);
      readings.set(event, heard);
      return [heard];
    } catch {
      return [];
    }
  });
}

type Opening = Logged & VisitOpened;

function isOpening(event: Logged): event is Opening {
  return event.kind === "visit_opened";
}

function rowOf(event: Opening): VisitRow {
  return {
    visit: event.visit,
    course: event.course,
    tooth: event.tooth,
    label: event.label,
    room: event.room,
    kit: event.kit,
    protocol: null,
    opened_at_ms: event.occurred_at_ms,
    closed_at_ms: null,
    head: null,
    signed_seq: null,
    training: event.training,
  };
}
