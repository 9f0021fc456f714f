/** Fetches what the screens show: the clinic, protocols, kits, visits and their entries. */

import { keepClinic, keepKit, keepProtocols, kitUnknown, kitUnreachable } from "../store/clinic";
import { metaOf, setMeta } from "../store/disk";
import { offerAgain } from "../store/outbox";
import { Refusal, setServerVersion } from "../store/server";
import type { Clinic, Entry, Head, KitRow, Logged, ProtocolRow, VisitRow } from "../store/shapes";
import { cursorOf, forgetEntries, keepEntries, keepVisits, visitAbsent } from "../store/visits";
import { ask, askText } from "./http";

const CLOSED_SINCE_MS = 30 * 24 * 3_600_000;

interface Health {
  readonly version: string;
  readonly epoch: string;
  readonly fold_version: string | number;
}

interface Page {
  readonly visit: string;
  readonly head: Head;
  readonly entries: readonly {
    readonly seq: number;
    readonly recorded_at_ms: number;
    readonly digest: string;
    readonly event: Logged;
  }[];
}

const fetchingVisits = new Map<string, Promise<void>>();

/**
 * The clinic and what belongs to it. A ledger that was restored is offered what this device sent; answers
 * whether that was so.
 */
export async function fetchClinic(): Promise<boolean> {
  const health = await ask<Health>("/health");
  setServerVersion({ version: health.version, fold_version: health.fold_version });
  const restored = await keepEpoch(String(health.epoch));
  const [heard, protocols, kits] = await Promise.all([
    ask<Clinic>("/clinic"),
    ask<readonly ProtocolRow[]>("/protocols"),
    ask<readonly KitRow[]>("/kits"),
  ]);
  await keepClinic(heard);
  await keepProtocols(protocols, kits);
  return restored;
}

/** Open visits, and those closed of late. */
export async function fetchVisits(nowMs: number): Promise<void> {
  const [open, closed] = await Promise.all([
    ask<readonly VisitRow[]>("/visits?state=open"),
    ask<readonly VisitRow[]>(
      `/visits?state=closed&from_ms=${Math.max(0, nowMs - CLOSED_SINCE_MS)}`,
    ),
  ]);
  await keepVisits([...open, ...closed]);
}

/** The entries of a visit after what is known here; one reading of a visit at a time. */
export function fetchEntries(visit: string): Promise<void> {
  const running = fetchingVisits.get(visit);
  const next = (running ?? Promise.resolve()).catch(() => undefined).then(() => readOn(visit));
  const kept = next.finally(() => {
    if (fetchingVisits.get(visit) === kept) fetchingVisits.delete(visit);
  });
  fetchingVisits.set(visit, kept);
  return kept;
}

const fetchingKits = new Map<string, Promise<void>>();

/** A kit by its digest, proved where the browser can; one asking of a kit at a time. */
export function fetchKit(digest: string): Promise<void> {
  const running = fetchingKits.get(digest);
  if (running !== undefined) return running;
  const made = bringKit(digest).finally(() => fetchingKits.delete(digest));
  fetchingKits.set(digest, made);
  return made;
}

async function bringKit(digest: string): Promise<void> {
  try {
    const text = await askText(`/kits/${encodeURIComponent(digest)}`);
    const found = await digestOf(text);
    if (found !== null && found !== digest) throw new Error(`kit ${digest} came as ${found}`);
    await keepKit(digest, text);
  } catch (failure) {
    if (failure instanceof Refusal && failure.status === 404) kitUnknown(digest);
    else kitUnreachable(digest);
    throw failure;
  }
}

async function readOn(visit: string): Promise<void> {
  for (;;) {
    const after = await cursorOf(visit);
    const page = await pageOf(visit, after);
    const entries = page.entries.map(
      (entry): Entry => ({
        visit,
        seq: entry.seq,
        recorded_at_ms: entry.recorded_at_ms,
        digest: entry.digest,
        event: entry.event,
      }),
    );
    await keepEntries(visit, entries);
    const last = entries.at(-1);
    if (last === undefined || last.seq >= page.head.seq) return;
  }
}

/** A visit that the server has nothing of is not waited for; news of it would be heard. */
async function pageOf(visit: string, after: number): Promise<Page> {
  try {
    const page = await ask<Page>(`/visits/${encodeURIComponent(visit)}/events?after=${after}`);
    if (after === 0 && page.entries.length === 0) visitAbsent(visit);
    return page;
  } catch (failure) {
    if (failure instanceof Refusal && failure.status < 500) visitAbsent(visit);
    throw failure;
  }
}

async function keepEpoch(epoch: string): Promise<boolean> {
  const known = await metaOf<string>("epoch");
  if (known === epoch) return false;
  if (known !== undefined) {
    await forgetEntries();
    await offerAgain();
  }
  await setMeta("epoch", epoch);
  return known !== undefined;
}

/** SHA-256 in hex; null where the page has no such power (plain http). */
async function digestOf(text: string): Promise<string | null> {
  const subtle = globalThis.crypto.subtle as SubtleCrypto | undefined;
  if (subtle === undefined) return null;
  const bytes = new Uint8Array(await subtle.digest("SHA-256", new TextEncoder().encode(text)));
  return [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}
