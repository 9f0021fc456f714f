/**
 * Corrections: another account of an event beside the first, with a reason; nothing is overwritten.
 *
 * What looks implausible is asked, never guessed and never refused.
 */

import type { AnyEvent, VisitRecord } from "../../../core/types.ts";
import type { Draft } from "../../../store/commands";
import type { Logged } from "../../../store/shapes";
import { payloadOf } from "../chair/undo";

export type Amendment = Extract<AnyEvent, { readonly kind: "entry_corrected" | "entry_voided" }>;

/** An original with everything that was said about it since. */
export interface Account {
  readonly original: Logged;
  readonly amendments: readonly Logged[];
  /** Id of the version that stands; the original's where nothing was amended. */
  readonly stands: string;
  readonly voided: boolean;
}

/** Every event that is no amendment, in the order in which it happened, with its amendments. */
export function accounts(events: readonly Logged[], record: VisitRecord): readonly Account[] {
  const amending = (event: Logged): boolean =>
    event.kind === "entry_corrected" || event.kind === "entry_voided";
  const byEntry = new Map<string, Logged[]>();
  for (const event of events.filter(amending)) {
    const entry = String(event.entry);
    byEntry.set(entry, [...(byEntry.get(entry) ?? []), event]);
  }
  return events
    .filter((event) => !amending(event))
    .map((original) => {
      const versions = record.versions.find((one) => one.entry === original.id);
      return {
        original,
        amendments: byEntry.get(original.id) ?? [],
        stands: versions?.stands ?? original.id,
        voided: versions?.voided ?? false,
      };
    })
    .sort(
      (a, b) =>
        a.original.occurred_at_ms - b.original.occurred_at_ms ||
        a.original.device_seq - b.original.device_seq,
    );
}

/** The payload that stands: the original's or a correction's; of a void, what it took away. */
export function standingPayload(account: Account): { readonly [field: string]: unknown } {
  const amendment = account.amendments.find((one) => one.id === account.stands);
  const seen = amendment?.kind === "entry_voided" ? String(amendment.replaces) : account.stands;
  return payloadAt(account, seen) ?? payloadOf(account.original, {});
}

export interface Change {
  readonly field: string;
  readonly was: unknown;
  readonly now: unknown;
}

/** What a version says differently from the one it replaced. */
export function changes(
  before: { readonly [field: string]: unknown },
  after: { readonly [field: string]: unknown },
): readonly Change[] {
  const fields = new Set([...Object.keys(before), ...Object.keys(after)]);
  return [...fields]
    .filter(
      (field) => JSON.stringify(before[field] ?? null) !== JSON.stringify(after[field] ?? null),
    )
    .map((field) => ({ field, was: before[field] ?? null, now: after[field] ?? null }));
}

/** The payload of a version of an account, or null for a void. */
export function payloadAt(
  account: Account,
  version: string,
): { readonly [field: string]: unknown } | null {
  if (version === account.original.id) return payloadOf(account.original, {});
  const amendment = account.amendments.find((one) => one.id === version);
  if (amendment === undefined || amendment.kind === "entry_voided") return null;
  return amendment.payload as { readonly [field: string]: unknown };
}

export function correctionDraft(
  account: Account,
  change: { readonly [field: string]: unknown },
  reason: string,
): Draft {
  return {
    kind: "entry_corrected",
    entry: account.original.id,
    replaces: account.stands,
    reason,
    payload: { ...standingPayload(account), ...change },
  };
}

export function voidDraft(account: Account, reason: string): Draft {
  return { kind: "entry_voided", entry: account.original.id, replaces: account.stands, reason };
}

export type Doubt = "large_volume" | "before_opening" | "in_the_future" | "past_length";

/** More than the usual barrel of 20 mL in one delivery is asked about. [µL] (choice) */
export const LARGE_UL = 20_000;

/** What about a changed payload is asked before it is logged. */
export function doubts(
  payload: { readonly [field: string]: unknown },
  record: VisitRecord,
  nowMs: number,
): readonly Doubt[] {
  const found: Doubt[] = [];
  const { volume_ul: volume, occurred_at_ms: at, tip_um: tip, site } = payload;
  if (typeof volume === "number" && volume > LARGE_UL) found.push("large_volume");
  const opened = record.opened?.occurred_at_ms;
  if (typeof at === "number" && opened !== undefined && at < opened) found.push("before_opening");
  if (typeof at === "number" && at > nowMs) found.push("in_the_future");
  const length = record.canals.find((one) => one.canal === site)?.working_length_um ?? null;
  if (typeof tip === "number" && length !== null && tip >= length) found.push("past_length");
  return found;
}
