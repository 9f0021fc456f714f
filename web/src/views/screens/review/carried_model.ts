/**
 * What files may have taken deeper: the record's second account beside the first, never merged with it.
 *
 * Delivered is what needles and activations are expected to have reached; carried is what would be
 * there too if a file took contents down with it.
 */

import { lengthMs, overlap } from "../../../core/intervals.ts";
import type { Canal, Interval, Slice, Stay, VisitRecord } from "../../../core/types.ts";

/** The part of a canal that "last 3 mm" looks at, up from working length. [µm] */
const APICAL_UM = 3000;

export interface Apical {
  readonly leastMs: number;
  readonly meanMs: number;
}

/** When contact without a recorded end stops: the last act once closed, until then the instant asked for. */
export function openUntilMs(record: VisitRecord, asOfMs: number): number {
  return record.closed_at_ms === null ? asOfMs : (record.last_clinical_ms ?? asOfMs);
}

/** Contact in the last 3 mm by the account that lets files carry; null while the length is unknown. */
export function carriedApical(
  record: VisitRecord,
  canal: Canal,
  irrigant: string,
  asOfMs: number,
): Apical | null {
  if (canal.working_length_um === null) return null;
  const bottomUm = canal.working_length_um;
  const topUm = Math.max(canal.orifice_um ?? 0, bottomUm - APICAL_UM);
  const untilMs = openUntilMs(record, asOfMs);
  const parts = record.carried
    .filter((slice) => slice.site === canal.canal)
    .map((slice) => ({
      deepUm: Math.min(slice.to_um ?? bottomUm, bottomUm) - Math.max(slice.from_um, topUm),
      ms: lengthMs(
        slice.stays.filter((stay) => holds(stay, irrigant)).map((stay) => spanOf(stay, untilMs)),
      ),
    }))
    .filter((part) => part.deepUm > 0);
  const covered = parts.reduce((sum, part) => sum + part.deepUm, 0);
  const whole = bottomUm - topUm;
  if (whole <= 0) return null;
  const meanMs = Math.floor(parts.reduce((sum, part) => sum + part.ms * part.deepUm, 0) / whole);
  return { leastMs: covered < whole ? 0 : Math.min(...parts.map((part) => part.ms)), meanMs };
}

/** A stretch of depth in which the carried account holds contents and the first one nothing. */
export interface Carried {
  readonly fromUm: number;
  readonly toUm: number | null;
  readonly stay: Stay;
  readonly spans: readonly Interval[];
}

/** What the carried account adds to the first one in a canal. */
export function carriedBeyond(record: VisitRecord, canal: string, asOfMs: number): Carried[] {
  const untilMs = openUntilMs(record, asOfMs);
  const given = record.slices.filter((slice) => slice.site === canal);
  return record.carried
    .filter((slice) => slice.site === canal)
    .flatMap((slice) => pieces(slice, given))
    .flatMap(({ fromUm, toUm, stays, held }) =>
      stays
        .filter((stay) => !stay.dressing)
        .map((stay) => {
          const there = held.map((one) => spanOf(one, untilMs));
          return { fromUm, toUm, stay, spans: without(spanOf(stay, untilMs), there) };
        })
        .filter((one) => one.spans.length > 0),
    );
}

/** A carried stretch cut where the first account's stretches begin and end. */
function pieces(slice: Slice, given: readonly Slice[]) {
  const deepest = Number.POSITIVE_INFINITY;
  const [fromUm, toUm] = [slice.from_um as number, slice.to_um ?? deepest];
  const cuts = given.flatMap((one) => [one.from_um as number, one.to_um ?? deepest]);
  const inside = [...new Set(cuts)].filter((cut) => cut > fromUm && cut < toUm);
  const edges = [fromUm, ...inside.sort((a, b) => a - b), toUm];
  return edges.slice(1).map((end, at) => {
    const start = edges[at] ?? fromUm;
    const held = given.filter((one) => one.from_um <= start && (one.to_um ?? deepest) >= end);
    return {
      fromUm: start,
      toUm: end === deepest ? null : end,
      stays: slice.stays,
      held: held.flatMap((one) => one.stays),
    };
  });
}

function without(span: Interval, taken: readonly Interval[]): Interval[] {
  const left: Interval[] = [];
  let from = span[0];
  for (const [start, end] of overlap([span], taken)) {
    if (start > from) left.push([from, start]);
    from = end;
  }
  if (span[1] > from) left.push([from, span[1]]);
  return left;
}

function holds(stay: Stay, irrigant: string): boolean {
  return !stay.dressing && stay.contents.some((one) => one.irrigant === irrigant);
}

function spanOf(stay: Stay, untilMs: number): Interval {
  return [stay.start_ms, Math.max(stay.start_ms, stay.end_ms ?? untilMs)];
}
