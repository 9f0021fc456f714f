/** What the events of a visit amount to, computed once for each change of its events. */

import { computed, type ReadonlySignal } from "@preact/signals";
import type { Kit, Milliseconds, Totals, VisitRecord } from "../core/types.ts";
import { kitOf } from "./clinic";
import { core } from "./core";
import { now } from "./now";
import { eventsOf, visitRow } from "./visits";

const records = new Map<string, ReadonlySignal<VisitRecord | null>>();
const digests = new Map<string, ReadonlySignal<string | null>>();
const kits = new Map<string, ReadonlySignal<Kit | null>>();
const totalled = new Map<string, ReadonlySignal<Totals | null>>();

/** Digest of the kit that holds for a visit now; null while none is known. */
export function kitDigestOf(visit: string): ReadonlySignal<string | null> {
  return made(digests, visit, () => computed(() => digestOf(visit)));
}

/** The kit that holds for a visit now: the one it pinned, or the one it changed to. */
export function kitOfVisit(visit: string): ReadonlySignal<Kit | null> {
  return made(kits, visit, () => {
    const digest = kitDigestOf(visit);
    return computed(() => {
      if (digest.value === null) return null;
      const state = kitOf(digest.value).value;
      return state.at === "here" ? state.kit : null;
    });
  });
}

/** The record; null while this device has no event of the visit. */
export function recordOf(visit: string): ReadonlySignal<VisitRecord | null> {
  return made(records, visit, () =>
    computed(() => {
      const { heard } = eventsOf(visit).value;
      if (core.value === null || heard.length === 0) return null;
      return core.value.fold(kitOfVisit(visit).value, heard);
    }),
  );
}

/** The totals as of now, once a second while somebody looks. */
export function totalsOf(visit: string): ReadonlySignal<Totals | null> {
  return made(totalled, visit, () =>
    computed(() => {
      const record = recordOf(visit).value;
      if (core.value === null || record === null) return null;
      return core.value.totals(record, now.value as Milliseconds);
    }),
  );
}

function digestOf(visit: string): string | null {
  const { heard } = eventsOf(visit).value;
  const voided = new Set(heard.map((event) => (event.kind === "entry_voided" ? event.entry : "")));
  const changed = heard.findLast(
    (event) => event.kind === "protocol_changed" && !voided.has(event.id),
  );
  if (changed?.kind === "protocol_changed") return changed.kit;
  const opened = heard.find((event) => event.kind === "visit_opened");
  return opened?.kit ?? visitRow(visit)?.kit ?? null;
}

function made<Value>(
  kept: Map<string, ReadonlySignal<Value>>,
  visit: string,
  make: () => ReadonlySignal<Value>,
): ReadonlySignal<Value> {
  const known = kept.get(visit);
  if (known !== undefined) return known;
  const fresh = make();
  kept.set(visit, fresh);
  return fresh;
}
