/**
 * What a person does, made durable: one tap's events are one transaction, and nobody says "saved" before
 * it has ended.
 *
 * The envelope is filled here. Entries that nobody dated by hand never run backwards on one device; only a
 * clock that turned out wrong while it had no bound (never set, or stepped) may be left behind.
 */

import { type ReadonlySignal, signal } from "@preact/signals";
import type { AnyEvent } from "../core/types.ts";
import { bringCore, type Core } from "./core";
import { device, staff } from "./device";
import { answerOf, inTransaction } from "./disk";
import { uuid7 } from "./ids";
import { exactNow, stamp } from "./now";
import { showWaiting } from "./outbox";
import type { Logged, Waiting } from "./shapes";
import { notSaved } from "./unsaved";

type Envelope = "visit" | "device" | "device_seq" | "staff" | "device_clock_ms" | "clock_error_ms";
type Dated = "id" | "occurred_at_ms" | "dated_by_hand";
type NullKeys<Fields> = {
  [Key in keyof Fields]: null extends Fields[Key] ? Key : never;
}[keyof Fields];
type Loose<Fields> = Omit<Fields, NullKeys<Fields>> &
  Partial<Pick<Fields, NullKeys<Fields> & keyof Fields>>;
type DraftOf<Event> = Event extends AnyEvent
  ? Loose<Omit<Event, Envelope | Dated>> & Partial<Pick<Event, Dated>>
  : never;

/** An event without its envelope; nulls may be left out, an id may be given to refer to it. */
export type Draft = DraftOf<AnyEvent>;

/** Nobody is at this device, so that nothing can be logged in a name. */
export class NobodyHere extends Error {
  override readonly name = "NobodyHere";
}

/** The last number given here, and the latest instant logged by a clock with a bound. */
interface Counter {
  readonly device_seq: number;
  readonly occurred_at_ms: number;
}

interface Attempt {
  readonly visit: string;
  readonly drafts: readonly Draft[];
  readonly person: string;
  readonly stamped: ReturnType<typeof stamp>;
}

const LONGEST_LINE_BYTES = 16_384;
const loggedSignal = signal(0);
const logListeners = new Set<(visit: string) => void>();

/** Grows whenever lines became durable here. */
export const logged: ReadonlySignal<number> = loggedSignal;

/** An identity for an event, a visit, a course or a syringe. */
export function newId(): string {
  return uuid7(exactNow());
}

/**
 * Log one tap's events for a visit, in order.
 *
 * Raises:
 *   NobodyHere: no staff has been picked.
 *   NotReadable: outside the bounds that the server checks too; nothing was kept.
 *   DiskFailed: this device could not save; the tap stands in `unsaved`, to be saved by its `saveAgain`.
 */
export async function log(visit: string, ...drafts: readonly Draft[]): Promise<readonly Logged[]> {
  const attempt = attemptOf(visit, drafts);
  try {
    return await save(attempt);
  } catch (failure) {
    if (!isNotReadable(failure)) notSaved(() => save(attempt));
    throw failure;
  }
}

/**
 * The same for a form that stays on the screen until it is saved: whoever filled it tries again themselves, so
 * that nothing stands in `unsaved`.
 *
 * Raises:
 *   NobodyHere, NotReadable, DiskFailed: as `log`; nothing was kept.
 */
export async function logForm(
  visit: string,
  ...drafts: readonly Draft[]
): Promise<readonly Logged[]> {
  return save(attemptOf(visit, drafts));
}

/** Be told of every visit for which lines became durable. */
export function onLogged(listener: (visit: string) => void): () => void {
  logListeners.add(listener);
  return () => logListeners.delete(listener);
}

function attemptOf(visit: string, drafts: readonly Draft[]): Attempt {
  const person = staff.peek();
  if (person === null) throw new NobodyHere("nobody is at this device");
  return { visit, drafts: drafts.map(named), person, stamped: stamp() };
}

async function save(attempt: Attempt): Promise<readonly Logged[]> {
  const identity = device.peek();
  if (identity === null) throw new NobodyHere("this device has no identity yet");
  const parts = await bringCore();
  const made = await inTransaction(["meta", "outbox"], "readwrite", async (store) => {
    const kept = await answerOf(store("meta").get("counter") as IDBRequest<Counter | undefined>);
    const events = filled(attempt, identity, kept ?? { device_seq: 0, occurred_at_ms: 0 });
    const lines = events.map((event) => lineOf(event, parts));
    for (const line of lines) await answerOf(store("outbox").add(line));
    await answerOf(store("meta").put(counterAfter(events, kept), "counter"));
    return { events, lines };
  });
  showWaiting(made.lines);
  loggedSignal.value += 1;
  for (const listener of logListeners) listener(attempt.visit);
  return made.events;
}

function filled(attempt: Attempt, identity: string, last: Counter): readonly Logged[] {
  const { stamped } = attempt;
  const atMs =
    stamped.clock_error_ms === null
      ? stamped.occurred_at_ms
      : Math.max(stamped.occurred_at_ms, last.occurred_at_ms);
  return attempt.drafts.map((draft, index) => ({
    occurred_at_ms: atMs,
    ...draft,
    id: draft.id ?? newId(),
    visit: attempt.visit,
    device: identity,
    device_seq: last.device_seq + 1 + index,
    staff: attempt.person,
    device_clock_ms: stamped.device_clock_ms,
    clock_error_ms: stamped.clock_error_ms,
  }));
}

function counterAfter(events: readonly Logged[], last: Counter | undefined): Counter {
  const undated = events.filter(
    (event) => event.dated_by_hand !== true && event.clock_error_ms !== null,
  );
  return {
    device_seq: events.at(-1)?.device_seq ?? last?.device_seq ?? 0,
    occurred_at_ms: Math.max(
      last?.occurred_at_ms ?? 0,
      ...undated.map((event) => event.occurred_at_ms),
    ),
  };
}

/** The line as it is kept and sent: never encoded again. @throws NotReadable */
function lineOf(event: Logged, { NotReadable, readHeard }: Core): Waiting {
  readHeard(event);
  const line = JSON.stringify(event);
  const bytes = new TextEncoder().encode(line).length;
  if (bytes > LONGEST_LINE_BYTES) {
    throw new NotReadable("$", `at most ${LONGEST_LINE_BYTES} bytes`, `${bytes} bytes`);
  }
  if (line.includes("\\u0000")) throw new NotReadable("$", "text without U+0000", "U+0000");
  return { device_seq: event.device_seq, id: event.id, visit: event.visit, line };
}

function isNotReadable(failure: unknown): boolean {
  return failure instanceof Error && failure.name === "NotReadable";
}

function named(draft: Draft): Draft {
  return draft.id === undefined ? { ...draft, id: newId() } : draft;
}
