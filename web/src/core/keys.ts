/** The one order of events: by key, text compared as ASCII and never by a locale. */

import type { Milliseconds } from "./quantities.ts";

export interface Keyed {
  readonly occurred_at_ms: Milliseconds;
  readonly device: string;
  readonly device_seq: number;
  readonly id: string;
}

/** Order of two texts by their code units. */
export function byAscii(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}

/** Order of two events by (occurred_at_ms, device, device_seq, id). */
export function byKey(a: Keyed, b: Keyed): number {
  return (
    a.occurred_at_ms - b.occurred_at_ms ||
    byAscii(a.device, b.device) ||
    a.device_seq - b.device_seq ||
    byAscii(a.id, b.id)
  );
}

/** The greatest of some events by key; undefined of none. */
export function greatest<Some extends Keyed>(events: readonly Some[]): Some | undefined {
  return events.reduce<Some | undefined>(
    (best, event) => (best === undefined || byKey(event, best) > 0 ? event : best),
    undefined,
  );
}
