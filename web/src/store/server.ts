/**
 * What a screen may ask the clinic's server for while it is connected; sync answers.
 *
 * Recording never goes through here: see commands.ts.
 */

import { type ReadonlySignal, signal } from "@preact/signals";
import type { Totals } from "../core/types.ts";

/** A refusal with what was found, expected and where (RFC 9457). */
export class Refusal extends Error {
  override readonly name = "Refusal";
  readonly status: number;
  readonly title: string;
  readonly found: string | null;
  readonly expected: string | null;
  readonly where: string | null;
  readonly body: { readonly [field: string]: unknown };

  constructor(status: number, body: { readonly [field: string]: unknown }) {
    super(textOf(body.detail) ?? textOf(body.title) ?? `status ${status}`);
    this.status = status;
    this.title = textOf(body.title) ?? "";
    this.found = textOf(body.found);
    this.expected = textOf(body.expected);
    this.where = textOf(body.where);
    this.body = body;
  }
}

/** Nobody answered, or somebody who is not the clinic's server. */
export class NotConnected extends Error {
  override readonly name = "NotConnected";
}

export interface SignRequest {
  readonly staff: string;
  readonly seq: number;
  readonly digest: string;
  readonly fold_version: string | number;
  readonly totals: Totals;
}

export interface Server {
  /** GET an address under /api as JSON. @throws Refusal, NotConnected */
  get<Answer>(path: string): Promise<Answer>;
  /** POST a question, as JSON, that records nothing. @throws Refusal, NotConnected */
  post<Answer>(path: string, question: string): Promise<Answer>;
  /** @throws Refusal (409 head_moved, 403), NotConnected */
  sign(visit: string, request: SignRequest): Promise<unknown>;
  /** Fetch what is new of a visit now. @throws NotConnected */
  refresh(visit: string): Promise<void>;
}

const connectedSignal = signal(false);
const versionSignal = signal<{ version: string; fold_version: string | number } | null>(null);

/** Whether the clinic's server has lately given a sign of life. */
export const connected: ReadonlySignal<boolean> = connectedSignal;
/** What the server said of itself. */
export const serverVersion: ReadonlySignal<{
  version: string;
  fold_version: string | number;
} | null> = versionSignal;

let answering: Server | null = null;

export function setServer(server: Server): void {
  answering = server;
}

export function setConnected(is: boolean): void {
  connectedSignal.value = is;
}

export function setServerVersion(said: { version: string; fold_version: string | number }): void {
  versionSignal.value = said;
}

/** The clinic's server. @throws NotConnected before sync has begun */
export function server(): Server {
  if (answering === null) throw new NotConnected("not begun");
  return answering;
}

function textOf(value: unknown): string | null {
  if (value === undefined || value === null) return null;
  return typeof value === "string" ? value : JSON.stringify(value);
}
