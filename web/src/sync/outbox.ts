/**
 * Sends what waits: JSON Lines, one visit a batch, in the order it was logged, until the server has named
 * each line's identity.
 *
 * A visit whose batch is not taken waits by itself and blocks no other. A line is settled only by an answer
 * that carries its id; whatever else comes back, it stays.
 */

import { onLogged } from "../store/commands";
import { exactNow } from "../store/now";
import { dropSettled, loadOutbox, outbox, settleRecorded, settleRefused } from "../store/outbox";
import { NotConnected, Refusal } from "../store/server";
import type { Entry, Head, Logged, RefusedLine, Waiting } from "../store/shapes";
import { showRecorded } from "../store/visits";
import { ask } from "./http";
import { asOneSender } from "./one_sender";
import { tellTabs } from "./tabs";
import { delayMs, Sleep } from "./waiting";

/** Bounds of one batch (design, chapter 6, rule 2). */
const MOST_LINES = 500;
const MOST_BYTES = 1_000_000;
const IDLE_MS = 30_000;

export interface LineAnswer {
  readonly line: number;
  readonly id: string | null;
  readonly answer: "recorded" | "already_recorded" | "refused";
  readonly seq: number | null;
  readonly code: string | null;
  readonly message: string | null;
  readonly found: unknown;
  readonly expected: unknown;
  readonly where: string | null;
}

export interface BatchAnswer {
  readonly visit: string;
  readonly head: Head | null;
  readonly answers: readonly LineAnswer[];
}

/** The lines of one batch: the oldest waiting visit's, within the bounds. */
export function batchOf(
  waiting: readonly Waiting[],
  resting: ReadonlySet<string>,
  mostLines: number = MOST_LINES,
): readonly Waiting[] {
  const first = waiting.find((line) => !resting.has(line.visit));
  if (first === undefined) return [];
  const lines: Waiting[] = [];
  let bytes = 0;
  for (const line of waiting) {
    if (line.visit !== first.visit) continue;
    bytes += new TextEncoder().encode(line.line).length + 1;
    if (lines.length > 0 && (lines.length >= mostLines || bytes > MOST_BYTES)) break;
    lines.push(line);
  }
  return lines;
}

export interface Settled {
  readonly recorded: readonly { readonly line: Waiting; readonly seq: number | null }[];
  readonly refused: readonly RefusedLine[];
}

/** What an answer settles: only lines whose own id it names at their own place. */
export function settledBy(batch: readonly Waiting[], answer: unknown, nowMs: number): Settled {
  const answers = answersOf(answer, batch[0]?.visit);
  const recorded: { line: Waiting; seq: number | null }[] = [];
  const refused: RefusedLine[] = [];
  for (const one of answers) {
    const line = batch[one.line - 1];
    if (line === undefined) continue;
    if (one.answer === "refused" && (one.id === null || one.id === line.id)) {
      refused.push(refusedLine(line, one, nowMs));
    } else if (one.id === line.id && one.answer !== "refused") {
      recorded.push({ line, seq: one.seq });
    }
  }
  return { recorded, refused };
}

export interface Sending {
  /** Something may wait that this tab did not log. */
  readonly wake: () => void;
  readonly stop: () => void;
}

/** Send until stopped; woken by every tap, by the network's return and by a visible page. */
export function startOutbox(): Sending {
  const sleep = new Sleep();
  const wake = (): void => sleep.wake();
  const stopListening = onLogged((visit) => {
    tellTabs({ outbox: visit });
    wake();
  });
  addEventListener("online", wake);
  document.addEventListener("visibilitychange", wake);
  const stopSending = asOneSender((stop) => keepSending(sleep, stop));
  const stop = (): void => {
    stopListening();
    stopSending();
    removeEventListener("online", wake);
    document.removeEventListener("visibilitychange", wake);
    wake();
  };
  return { wake, stop };
}

/** Send all that waits once; answers how many lines were settled. Exported for tests. */
export async function sendAll(resting: Set<string> = new Set()): Promise<number> {
  let settled = 0;
  for (let most = MOST_LINES; ; ) {
    const batch = batchOf(
      outbox.peek().map((pending) => pending.waiting),
      resting,
      most,
    );
    const visit = batch[0]?.visit;
    if (visit === undefined) return settled;
    try {
      const done = await sendBatch(visit, batch);
      settled += done;
      most = MOST_LINES;
      if (done < batch.length) resting.add(visit);
    } catch (failure) {
      if (failure instanceof NotConnected) throw failure;
      const tooLarge = failure instanceof Refusal && failure.status === 413 && batch.length > 1;
      if (tooLarge) most = Math.ceil(batch.length / 2);
      else resting.add(visit);
    }
  }
}

async function keepSending(sleep: Sleep, stop: AbortSignal): Promise<void> {
  stop.addEventListener("abort", () => sleep.wake());
  await loadOutbox().catch(() => undefined);
  for (let failures = 0; !stop.aborted; ) {
    const resting = new Set<string>();
    try {
      await sendAll(resting);
      failures = resting.size > 0 ? failures + 1 : 0;
    } catch {
      failures += 1;
    }
    await sleep.forMs(failures > 0 ? delayMs(failures) : IDLE_MS);
  }
}

async function sendBatch(visit: string, batch: readonly Waiting[]): Promise<number> {
  const answer = await ask<unknown>(`/visits/${encodeURIComponent(visit)}/events`, {
    method: "POST",
    type: "application/x-ndjson",
    body: `${batch.map((line) => line.line).join("\n")}\n`,
    withinMs: 20_000,
  });
  const { recorded, refused } = settledBy(batch, answer, exactNow());
  await settleRecorded(
    recorded.map(({ line }) => line),
    exactNow(),
  );
  await settleRefused(refused);
  showRecorded(visit, recorded.flatMap(entryOf));
  dropSettled(new Set([...recorded.map(({ line }) => line.id), ...refused.map((line) => line.id)]));
  if (refused.length > 0) await loadOutbox();
  if (recorded.length + refused.length > 0) tellTabs({ outbox: visit });
  return recorded.length + refused.length;
}

function entryOf(one: { readonly line: Waiting; readonly seq: number | null }): Entry[] {
  if (one.seq === null) return [];
  const event = JSON.parse(one.line.line) as Logged;
  return [{ visit: one.line.visit, seq: one.seq, recorded_at_ms: null, digest: null, event }];
}

function answersOf(answer: unknown, visit: string | undefined): readonly LineAnswer[] {
  if (typeof answer !== "object" || answer === null) return [];
  const { visit: named, answers } = answer as Partial<BatchAnswer>;
  if (named !== visit || !Array.isArray(answers)) return [];
  return (answers as unknown[]).filter(isLineAnswer);
}

function isLineAnswer(value: unknown): value is LineAnswer {
  if (typeof value !== "object" || value === null) return false;
  const { line, answer } = value as Partial<LineAnswer>;
  return (
    typeof line === "number" &&
    (answer === "recorded" || answer === "already_recorded" || answer === "refused")
  );
}

function refusedLine(line: Waiting, answer: LineAnswer, nowMs: number): RefusedLine {
  return {
    ...line,
    code: answer.code ?? "",
    message: answer.message ?? null,
    found: shown(answer.found),
    expected: shown(answer.expected),
    where: answer.where ?? null,
    refused_at_ms: nowMs,
    read: false,
  };
}

function shown(value: unknown): string | null {
  if (value === null || value === undefined) return null;
  return typeof value === "string" ? value : JSON.stringify(value);
}
