/** Which events stand once every amendment has been heard: corrections, voids, conflicts. */

import { finding } from "./findings.ts";
import { groupedBy } from "./grouping.ts";
import { byKey, greatest } from "./keys.ts";
import { NotReadable, readAs } from "./reading.ts";
import type {
  AnyEvent,
  EntryCorrected,
  EntryVoided,
  Finding,
  Heard,
  Unread,
  Versions,
} from "./types.ts";

type Amendment = EntryCorrected | EntryVoided;
type Original = Exclude<AnyEvent, Amendment>;

export interface Standing {
  /** The events that stand, amended, in the order of their keys. */
  readonly events: readonly AnyEvent[];
  readonly unread: readonly Unread[];
  readonly versions: readonly Versions[];
  readonly findings: readonly Finding[];
  /** Events whose time a person gave by a correction. */
  readonly retimed: ReadonlySet<string>;
  readonly voided: ReadonlySet<string>;
  /** When each original said it occurred, before any correction. [ms] */
  readonly saidAtMs: ReadonlyMap<string, number>;
}

/** The events that stand, whatever the order, repetition and split in which they arrived. */
export function standing(heard: readonly Heard[]): Standing {
  const all = withoutRepeats(heard);
  const unread = all.filter((event) => event.kind === "unread");
  const amendments = all.filter(isAmendment);
  const originals = all.filter((event): event is Original => isOriginal(event));
  const byEntry = groupedBy(amendments, (amendment) => amendment.entry);
  const verdicts = originals.map((original) => judge(original, byEntry.get(original.id) ?? []));
  const known = new Set(originals.map((event) => event.id));
  const orphans = amendments.filter((amendment) => !known.has(amendment.entry));
  return {
    events: verdicts.flatMap(({ event }) => (event === null ? [] : [event])).sort(byKey),
    unread,
    versions: verdicts.flatMap(({ versions }) => versions ?? []),
    findings: [
      ...unread.map(({ id, unread_kind: about }) =>
        finding("unread", "notice", { events: [id], about }),
      ),
      ...verdicts.flatMap((verdict) => verdict.findings),
      ...orphans.map(({ id }) => finding("unresolved", "notice", { events: [id] })),
    ],
    retimed: idsOf(
      verdicts,
      ({ original, event }) => event !== null && event.occurred_at_ms !== original.occurred_at_ms,
    ),
    voided: idsOf(verdicts, ({ event }) => event === null),
    saidAtMs: new Map(originals.map((event) => [event.id, event.occurred_at_ms])),
  };
}

function idsOf(verdicts: readonly Verdict[], holds: (verdict: Verdict) => boolean): Set<string> {
  return new Set(verdicts.filter(holds).map((verdict) => verdict.original.id));
}

function withoutRepeats(heard: readonly Heard[]): Heard[] {
  const seen = new Map<string, Heard>();
  for (const event of [...heard].sort(byKey)) if (!seen.has(event.id)) seen.set(event.id, event);
  return [...seen.values()];
}

function isAmendment(event: Heard): event is Amendment {
  return event.kind === "entry_corrected" || event.kind === "entry_voided";
}

function isOriginal(event: Heard): event is Original {
  return event.kind !== "unread" && !isAmendment(event);
}

interface Verdict {
  readonly original: Original;
  readonly event: Original | null;
  readonly versions: Versions | null;
  readonly findings: readonly Finding[];
}

function judge(original: Original, amendments: readonly Amendment[]): Verdict {
  if (amendments.length === 0) {
    return { original, event: original, versions: null, findings: [] };
  }
  const candidates: readonly (Original | Amendment)[] = [original, ...amendments];
  // Each amendment replaces one candidate, and there is one candidate more: something always stands.
  const free = candidates.filter(
    (one) => !amendments.some((a) => a !== one && a.replaces === one.id),
  );
  const winner = greatest(free) ?? original;
  const events = free.map((one) => one.id);
  const conflict = events.length > 1 ? [finding("correction_conflict", "notice", { events })] : [];
  const outcome = heed(original, winner);
  const voided = outcome.event === null;
  return {
    original,
    event: outcome.event,
    versions: {
      entry: original.id,
      stands: outcome.findings.length > 0 ? original.id : winner.id,
      voided,
      versions: candidates.map((one) => one.id),
    },
    findings: [...conflict, ...outcome.findings],
  };
}

function heed(
  original: Original,
  winner: Original | Amendment,
): { readonly event: Original | null; readonly findings: readonly Finding[] } {
  if (winner.kind === "entry_voided") return { event: null, findings: [] };
  if (winner.kind !== "entry_corrected") return { event: original, findings: [] };
  const event = corrected(original, winner);
  if (event !== null) return { event, findings: [] };
  const unreadable = finding("correction_unreadable", "serious", {
    events: [winner.id, original.id],
  });
  return { event: original, findings: [unreadable] };
}

/** The original with the correction's payload, or null if that does not read as its kind. */
function corrected(original: Original, correction: EntryCorrected): Original | null {
  const kept = {
    id: original.id,
    visit: original.visit,
    device: original.device,
    device_seq: original.device_seq,
    staff: original.staff,
    device_clock_ms: original.device_clock_ms,
    clock_error_ms: original.clock_error_ms,
    dated_by_hand: original.dated_by_hand,
  };
  try {
    return readAs(original.kind, { ...correction.payload, ...kept }) as Original;
  } catch (fault) {
    if (fault instanceof NotReadable) return null;
    throw fault;
  }
}
