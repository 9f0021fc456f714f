/**
 * Lines on their way to the server: durable on this device before anybody says "saved".
 *
 * A line leaves the outbox only when the server has named its id as recorded, or refused it; then it goes
 * to `sent` (offered again to a restored ledger) or to the tray that a person reads.
 * Not here: sending (sync/outbox.ts) and making events (commands.ts).
 */

import { batch, computed, type ReadonlySignal, signal } from "@preact/signals";
import { allOf, answerOf, inTransaction } from "./disk";
import type { Logged, RefusedLine, Waiting } from "./shapes";

const KEPT_MS = 60 * 24 * 3_600_000;

export interface Sent extends Waiting {
  readonly sent_at_ms: number;
}

export interface Pending {
  readonly waiting: Waiting;
  readonly event: Logged;
}

const outboxSignal = signal<readonly Pending[]>([]);
const traySignal = signal<readonly RefusedLine[]>([]);

/** What the server has not acknowledged, in the order it was logged. */
export const outbox: ReadonlySignal<readonly Pending[]> = outboxSignal;
export const tray: ReadonlySignal<readonly RefusedLine[]> = traySignal;
export const unreadRefusals = computed(() => traySignal.value.filter((line) => !line.read).length);

/** Read both from the disk, as at the start and when another tab has written. */
export async function loadOutbox(): Promise<void> {
  const before = idsOf(outboxSignal.peek());
  const [waiting, refused] = await Promise.all([
    allOf<Waiting>("outbox"),
    allOf<RefusedLine>("tray"),
  ]);
  batch(() => {
    outboxSignal.value = merged(waiting, before);
    traySignal.value = refused;
  });
}

/** Show lines that have just become durable. */
export function showWaiting(added: readonly Waiting[]): void {
  const known = idsOf(outboxSignal.peek());
  const fresh = added.filter((row) => !known.has(row.id)).map(pendingOf);
  outboxSignal.value = [...outboxSignal.peek(), ...fresh].sort(bySeq);
}

/** The server has these on record: keep them as sent, out of the way. */
export async function settleRecorded(lines: readonly Waiting[], nowMs: number): Promise<void> {
  await inTransaction(["outbox", "sent"], "readwrite", async (store) => {
    for (const line of lines) {
      await answerOf(store("sent").put({ ...line, sent_at_ms: nowMs } satisfies Sent));
      await answerOf(store("outbox").delete(line.device_seq));
    }
  });
}

/** The server took none of these: to the tray, where they stay. */
export async function settleRefused(lines: readonly RefusedLine[]): Promise<void> {
  await inTransaction(["outbox", "tray"], "readwrite", async (store) => {
    for (const line of lines) {
      await answerOf(store("tray").put(line));
      await answerOf(store("outbox").delete(line.device_seq));
    }
  });
}

/** Take settled lines off the screen's list. */
export function dropSettled(ids: ReadonlySet<string>): void {
  outboxSignal.value = outboxSignal.peek().filter((pending) => !ids.has(pending.waiting.id));
}

/** A person has read why a line was refused; the line stays. */
export async function markRead(id: string): Promise<void> {
  await inTransaction(["tray"], "readwrite", async (store) => {
    const line = await answerOf(store("tray").get(id) as IDBRequest<RefusedLine | undefined>);
    if (line !== undefined) await answerOf(store("tray").put({ ...line, read: true }));
  });
  await loadOutbox();
}

/** A restored ledger may lack what this device has sent: offer all that is kept again. */
export async function offerAgain(): Promise<void> {
  await inTransaction(["outbox", "sent"], "readwrite", async (store) => {
    const kept = await answerOf(store("sent").getAll() as IDBRequest<Sent[]>);
    for (const { sent_at_ms: _sent, ...line } of kept) {
      await answerOf(store("outbox").put(line));
      await answerOf(store("sent").delete(line.id));
    }
  });
  await loadOutbox();
}

/** Let go of lines sent long ago. */
export async function forgetOldSent(nowMs: number): Promise<void> {
  await inTransaction(["sent"], "readwrite", async (store) => {
    const kept = await answerOf(store("sent").getAll() as IDBRequest<Sent[]>);
    for (const line of kept) {
      if (line.sent_at_ms < nowMs - KEPT_MS) await answerOf(store("sent").delete(line.id));
    }
  });
}

/** What the disk held, with what was logged and without what was settled here while it was read. */
function merged(waiting: readonly Waiting[], before: ReadonlySet<string>): readonly Pending[] {
  const here = outboxSignal.peek();
  const known = new Map(here.map((pending) => [pending.waiting.id, pending]));
  const onDisk = new Set(waiting.map((row) => row.id));
  const unsettled = waiting.filter((row) => known.has(row.id) || !before.has(row.id));
  const logged = here.filter(({ waiting: { id } }) => !before.has(id) && !onDisk.has(id));
  return [...unsettled.map((row) => known.get(row.id) ?? pendingOf(row)), ...logged].sort(bySeq);
}

function idsOf(pending: readonly Pending[]): ReadonlySet<string> {
  return new Set(pending.map((one) => one.waiting.id));
}

function bySeq(one: Pending, other: Pending): number {
  return one.waiting.device_seq - other.waiting.device_seq;
}

function pendingOf(waiting: Waiting): Pending {
  return { waiting, event: JSON.parse(waiting.line) as Logged };
}
