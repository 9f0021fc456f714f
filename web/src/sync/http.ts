/**
 * Requests to the clinic's server, each with a time limit.
 *
 * An answer counts only if it is JSON and says what it must: a captive portal's page is no answer.
 */

import { NotConnected, Refusal, setConnected } from "../store/server";

const WITHIN_MS = 10_000;

export interface Ask {
  readonly method?: "GET" | "POST";
  readonly body?: string;
  readonly type?: string;
  readonly headers?: { readonly [name: string]: string };
  readonly withinMs?: number;
}

/** The JSON answer of an address under /api. @throws Refusal, NotConnected */
export async function ask<Answer>(path: string, how: Ask = {}): Promise<Answer> {
  const response = await answered(path, how);
  const body = await jsonOf(response);
  if (response.ok) {
    setConnected(true);
    return body as Answer;
  }
  if (response.status >= 502 && response.status <= 504) throw away(`status ${response.status}`);
  setConnected(true);
  throw new Refusal(response.status, fieldsOf(body));
}

/** The text of an address that never changes. @throws Refusal, NotConnected */
export async function askText(path: string): Promise<string> {
  const response = await answered(path, {});
  if (!isJson(response)) throw away("an answer that is not JSON");
  const text = await response.text().catch(() => null);
  if (text === null) throw away("an answer that broke off");
  if (!response.ok) throw new Refusal(response.status, fieldsOf(parsed(text)));
  return text;
}

async function answered(path: string, how: Ask): Promise<Response> {
  const {
    method = "GET",
    body,
    type = "application/json",
    headers = {},
    withinMs = WITHIN_MS,
  } = how;
  try {
    return await fetch(`/api${path}`, {
      method,
      cache: "no-store",
      redirect: "error",
      credentials: "same-origin",
      signal: AbortSignal.timeout(withinMs),
      headers: body === undefined ? headers : { "content-type": type, ...headers },
      ...(body === undefined ? {} : { body }),
    });
  } catch (failure) {
    throw away(failure instanceof Error ? failure.message : "no answer");
  }
}

async function jsonOf(response: Response): Promise<unknown> {
  if (!isJson(response)) throw away("an answer that is not JSON");
  const body = parsed(await response.text().catch(() => ""));
  if (body === undefined) throw away("an answer that is not JSON");
  return body;
}

function isJson(response: Response): boolean {
  const type = response.headers.get("content-type") ?? "";
  return /^application\/(problem\+)?json\b/i.test(type);
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text) as unknown;
  } catch {
    return undefined;
  }
}

function fieldsOf(body: unknown): { readonly [field: string]: unknown } {
  return typeof body === "object" && body !== null ? (body as { [field: string]: unknown }) : {};
}

function away(why: string): NotConnected {
  setConnected(false);
  return new NotConnected(why);
}
