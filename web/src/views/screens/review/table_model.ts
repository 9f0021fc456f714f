/**
 * What each canal had of each irrigant, beside what the protocol asked of it.
 *
 * A figure is what the record and its model hold; "reached" compares it with a target of practice
 * and says nothing about the canal.
 */

import { asksOfVisit, visitNumber } from "../../../core/plan.ts";
import type { Ask, Headline, Kit, Totals, VisitRecord, VolumeRow } from "../../../core/types.ts";
import { type Apical, carriedApical } from "./carried_model";

export type Measure =
  | "anywhere"
  | "orifice"
  | "last_3mm_least"
  | "last_3mm_mean"
  | "fresh"
  | "activated"
  | "longest"
  | "volume";

export interface Against {
  readonly asked: number;
  /** How much is missing; 0 when reached; null when what was had is not known. */
  readonly shortBy: number | null;
}

export interface TimeCell {
  readonly ms: number | null;
  /** The same if files carried contents deeper: expected, beside the figure and never in it. */
  readonly carriedMs: number | null;
  readonly against: Against | null;
}

export interface VolumeCell {
  readonly ul: number;
  readonly atLeast: boolean;
  readonly about: boolean;
  readonly passedNg: number | null;
  readonly against: Against | null;
}

export interface TableRow {
  readonly site: string;
  readonly irrigant: string;
  readonly anywhere: TimeCell;
  readonly orifice: TimeCell;
  readonly last3mmLeast: TimeCell;
  readonly last3mmMean: TimeCell;
  readonly fresh: TimeCell;
  readonly activated: TimeCell;
  readonly longest: TimeCell;
  readonly volume: VolumeCell | null;
}

/** One row a canal and irrigant: those it had, and those it was asked and did not have. */
export function tableRows(
  record: VisitRecord,
  kit: Kit | null,
  totals: Totals,
): readonly TableRow[] {
  const protocol = kit?.protocol ?? null;
  const asks = protocol === null ? [] : asksOfVisit(protocol, visitNumber(protocol, record));
  return record.canals.flatMap((whole) => {
    const { canal, state } = whole;
    const had = totals.headlines.filter((one) => one.site === canal);
    const given = totals.volumes.filter((one) => one.site === canal);
    const wanted = state === "left" || state === "suspected" ? [] : asks.map((ask) => ask.irrigant);
    const irrigants = new Set([
      ...had.map((one) => one.irrigant),
      ...given.map((one) => one.irrigant),
      ...wanted,
    ]);
    return [...irrigants].map((irrigant) =>
      rowOf(
        canal,
        irrigant,
        carriedApical(record, whole, irrigant, totals.as_of_ms),
        had.find((one) => one.irrigant === irrigant) ?? null,
        given.filter((one) => one.irrigant === irrigant),
        asks.find((ask) => ask.irrigant === irrigant) ?? null,
      ),
    );
  });
}

function rowOf(
  site: string,
  irrigant: string,
  carried: Apical | null,
  had: Headline | null,
  given: readonly VolumeRow[],
  ask: Ask | null,
): TableRow {
  const time = (
    ms: number | null | undefined,
    asked: number | null | undefined,
    carriedMs: number | null = null,
  ): TimeCell => {
    const known = ms === undefined ? 0 : ms;
    return { ms: known, carriedMs, against: againstOf(known, asked ?? null) };
  };
  return {
    site,
    irrigant,
    anywhere: time(had?.anywhere_ms, ask?.contact_ms),
    orifice: time(had?.orifice_ms, null),
    last3mmLeast: time(had?.last_3mm_least_ms, ask?.last_3mm_ms, carried?.leastMs),
    last3mmMean: time(had?.last_3mm_mean_ms, null, carried?.meanMs),
    fresh: time(had?.fresh_ms, ask?.fresh_ms),
    activated: time(had?.activated_ms, ask?.activated_ms),
    longest: time(had?.longest_run_ms, null),
    volume: volumeOf(given, ask),
  };
}

/** Strengths together; an unknown amount makes the sum a least one. */
export function volumeOf(given: readonly VolumeRow[], ask: Ask | null): VolumeCell | null {
  if (given.length === 0 && (ask === null || ask.volume_ul === null)) return null;
  const ul = given.reduce((sum, one) => sum + one.volume_ul, 0);
  const masses = given.map((one) => one.passed_ng);
  return {
    ul,
    atLeast: given.some((one) => one.at_least),
    about: given.some((one) => one.about),
    passedNg: masses.includes(null) ? null : masses.reduce<number>((sum, ng) => sum + (ng ?? 0), 0),
    against: againstOf(ul, ask?.volume_ul ?? null),
  };
}

function againstOf(had: number | null, asked: number | null): Against | null {
  if (asked === null) return null;
  return { asked, shortBy: had === null ? null : Math.max(0, asked - had) };
}
