/** What a canal holds at an instant, from the record: for the rooms' short view. */

import type { Mix, VisitRecord } from "../core/types.ts";

export interface Holding {
  readonly contents: Mix;
  readonly since_ms: number;
  readonly dressing: boolean;
  /** Stretch of depth it is seen over; null = down to the end. [µm] */
  readonly from_um: number;
  readonly to_um: number | null;
}

/** What is in a canal, from the orifice down, each contents once with its earliest start there. */
export function holdingOf(record: VisitRecord, canal: string, atMs: number): readonly Holding[] {
  const found = new Map<string, Holding>();
  const slices = record.slices
    .filter((slice) => slice.site === canal)
    .toSorted((one, other) => one.from_um - other.from_um);
  for (const slice of slices) {
    const stay = slice.stays.at(-1);
    if (stay === undefined || stay.start_ms > atMs) continue;
    if (stay.end_ms !== null && stay.end_ms <= atMs) continue;
    const key = JSON.stringify(stay.contents);
    const known = found.get(key);
    found.set(key, {
      contents: stay.contents,
      since_ms: Math.min(known?.since_ms ?? stay.start_ms, stay.start_ms),
      dressing: stay.dressing,
      from_um: known?.from_um ?? slice.from_um,
      to_um: slice.to_um,
    });
  }
  return [...found.values()];
}
