/** One canal as a map of time by depth: what stayed where, from when to when. */

import type { Canal, Slice, VisitRecord } from "../../../core/types.ts";
import { type Entry, type Mark, markOf } from "../../canal/marks";
import { carriedBeyond } from "./carried_model";

export interface Span {
  readonly fromMs: number;
  readonly toMs: number;
}

export interface MapArea extends Span {
  readonly fromUm: number;
  readonly toUm: number;
  readonly mark: Mark;
  readonly fresh: readonly Span[];
  /** No end was recorded: it runs to the last act, or to now. */
  readonly open: boolean;
}

export interface CanalMap {
  readonly canal: Canal;
  readonly fromMs: number;
  readonly toMs: number;
  /** Depths at the upper and lower edge of the map. [µm] */
  readonly topUm: number;
  readonly bottomUm: number;
  readonly areas: readonly MapArea[];
  /** What files may have carried where nothing else stood. */
  readonly carried: readonly MapArea[];
  /** Depth from which on this canal is one with another, and which. [µm] */
  readonly joined: { readonly fromUm: number; readonly into: string } | null;
  readonly activated: readonly (Span & { readonly fromUm: number; readonly toUm: number })[];
}

const DRAWN_LENGTH_UM = 20_000;

/** Instants between which the maps of a visit are drawn, the same for all its canals. */
export function mapSpan(record: VisitRecord, asOfMs: number): Span {
  const opened = record.opened?.occurred_at_ms ?? asOfMs;
  const first = Math.min(
    ...record.deliveries.map((one) => one.start_ms as number),
    ...(record.deliveries.length === 0 ? [opened] : []),
  );
  const end =
    record.closed_at_ms === null ? asOfMs : (record.last_clinical_ms ?? record.closed_at_ms);
  const start = Math.max(opened, first - 30_000);
  return { fromMs: start, toMs: Math.max(start + 60_000, end) };
}

export function canalMap(
  record: VisitRecord,
  canal: Canal,
  entries: readonly Entry[],
  span: Span,
): CanalMap {
  const slices = record.slices.filter((slice) => slice.site === canal.canal);
  const known = Math.max(0, ...slices.map((slice) => slice.to_um ?? slice.from_um));
  const bottomUm = canal.working_length_um ?? Math.max(DRAWN_LENGTH_UM, known);
  const areas = slices.flatMap((slice) =>
    slice.stays
      .filter((stay) => !stay.dressing)
      .map((stay) => ({
        fromUm: slice.from_um as number,
        toUm: Math.min(slice.to_um ?? bottomUm, bottomUm),
        ...within({ fromMs: stay.start_ms, toMs: stay.end_ms ?? span.toMs }, span),
        mark: markOf(stay.contents, entries),
        fresh: stay.fresh
          .map(([fromMs, toMs]) =>
            within({ fromMs, toMs: Math.min(toMs, stay.end_ms ?? toMs) }, span),
          )
          .filter(lasting),
        open: stay.end_ms === null,
      })),
  );
  return {
    canal,
    ...span,
    topUm: Math.min(canal.orifice_um ?? 0, bottomUm),
    bottomUm,
    areas: areas.filter((area) => lasting(area) && area.toUm > area.fromUm),
    carried: carriedBeyond(record, canal.canal, span.toMs).flatMap(
      ({ fromUm, toUm, stay, spans }) =>
        spans
          .map(([fromMs, toMs]) => ({
            ...within({ fromMs, toMs }, span),
            fromUm,
            toUm: Math.min(toUm ?? bottomUm, bottomUm),
            mark: markOf(stay.contents, entries),
            fresh: [],
            open: stay.end_ms === null,
          }))
          .filter((area) => lasting(area) && area.toUm > area.fromUm),
    ),
    joined: joinedOf(slices),
    activated: record.activations
      .filter((one) => one.canal === canal.canal && one.end_ms !== null)
      .map((one) => ({
        ...within({ fromMs: one.start_ms, toMs: one.end_ms ?? one.start_ms }, span),
        fromUm: one.from_um as number,
        toUm: Math.min(one.to_um, bottomUm),
      }))
      .filter(lasting),
  };
}

function joinedOf(slices: readonly Slice[]): CanalMap["joined"] {
  const [first] = slices.flatMap(({ from_um, shared_with }) =>
    shared_with === null || shared_with === undefined
      ? []
      : [{ fromUm: from_um as number, into: shared_with }],
  );
  return first ?? null;
}

function within(one: Span, span: Span): Span {
  return {
    fromMs: Math.max(one.fromMs, span.fromMs),
    toMs: Math.min(Math.max(one.toMs, span.fromMs), span.toMs),
  };
}

function lasting(one: Span): boolean {
  return one.toMs > one.fromMs;
}

/** A letter for each run of contents that is wide enough to carry one. */
export function letters(
  map: CanalMap,
  widthPx: number,
  leastPx: number,
): readonly { readonly atMs: number; readonly atUm: number; readonly mark: Mark }[] {
  const pxPerMs = widthPx / (map.toMs - map.fromMs);
  const widest = new Map<string, MapArea>();
  for (const area of map.areas) {
    const key = `${area.mark.key} ${area.fromMs}`;
    const known = widest.get(key);
    const tall = (one: MapArea): number => one.toUm - one.fromUm;
    if (known === undefined || tall(area) > tall(known)) widest.set(key, area);
  }
  return [...widest.values()]
    .filter((area) => (area.toMs - area.fromMs) * pxPerMs >= leastPx)
    .map((area) => ({
      atMs: (area.fromMs + area.toMs) / 2,
      atUm: (area.fromUm + area.toUm) / 2,
      mark: area.mark,
    }));
}

/** Whole minutes to mark along a span, at most about ten of them. */
export function minuteMarks(span: Span): readonly number[] {
  const minutes = (span.toMs - span.fromMs) / 60_000;
  const every = [1, 2, 5, 10, 15, 30, 60, 120].find((one) => minutes / one <= 10) ?? 240;
  const step = every * 60_000;
  const first = Math.ceil(span.fromMs / step) * step;
  const marks: number[] = [];
  for (let at = first; at <= span.toMs; at += step) marks.push(at);
  return marks;
}
