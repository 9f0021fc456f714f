/** The audit's rows as one question a chart: who had what was asked, canal by canal. */

import type { Ask } from "../../../core/types.ts";

export interface AuditRow {
  readonly visit: string;
  readonly opened_at_ms: number;
  readonly tooth: string;
  readonly label: string;
  readonly room: string;
  readonly protocol: string | null;
  readonly canal: string;
  readonly irrigant: string;
  readonly asked: Partial<Omit<Ask, "irrigant">> | null;
  readonly had: {
    readonly anywhere_ms: number;
    readonly last_3mm_least_ms: number | null;
    readonly last_3mm_mean_ms: number | null;
    readonly fresh_ms: number;
    readonly activated_ms: number;
    readonly volume_ul: number | null;
    readonly volume_at_least?: boolean;
    readonly volume_about?: boolean;
  };
  readonly findings: number;
  readonly signed: boolean;
  readonly training?: boolean;
}

export interface AuditAnswer {
  readonly rows: readonly AuditRow[];
  readonly stale: number;
  /** Visits that name no kit on record. */
  readonly unreadable?: readonly string[];
}

export interface Filter {
  readonly days: number | null;
  readonly protocol: string;
  readonly room: string;
}

const DAY_MS = 86_400_000;

/** The address of an audit, for JSON or CSV. */
export function auditPath(filter: Filter, nowMs: number, format: "" | ".csv" = ""): string {
  const query = new URLSearchParams();
  if (filter.protocol !== "") query.set("protocol", filter.protocol);
  if (filter.room !== "") query.set("room", filter.room);
  if (filter.days !== null) {
    query.set("from_ms", String(Math.max(0, nowMs - filter.days * DAY_MS)));
    query.set("to_ms", String(nowMs));
  }
  const text = query.toString();
  return `/audit${format}${text === "" ? "" : `?${text}`}`;
}

export interface Mark {
  readonly row: AuditRow;
  readonly ms: number;
}

/** One chart: an irrigant, one measure, its marks from least to most, and what was asked of them. */
export interface Chart {
  readonly irrigant: string;
  readonly measure: "last_3mm" | "anywhere";
  readonly marks: readonly Mark[];
  readonly unknown: number;
  /** Least and greatest that was asked; null = nothing was. [ms] */
  readonly askedMs: readonly [number, number] | null;
  readonly reached: number;
  readonly asked: number;
  readonly mostMs: number;
}

/** Charts for every irrigant; training is drawn but not counted. */
export function charts(rows: readonly AuditRow[]): readonly Chart[] {
  return [...new Set(rows.map((row) => row.irrigant))].map((irrigant) =>
    chartOf(
      irrigant,
      rows.filter((row) => row.irrigant === irrigant),
    ),
  );
}

function chartOf(irrigant: string, rows: readonly AuditRow[]): Chart {
  const asksApical = rows.some((row) => row.asked?.last_3mm_ms != null);
  const asksAnywhere = rows.some((row) => row.asked?.contact_ms != null);
  const measure = asksApical || !asksAnywhere ? "last_3mm" : "anywhere";
  const had = (row: AuditRow): number | null =>
    measure === "last_3mm" ? row.had.last_3mm_least_ms : row.had.anywhere_ms;
  const wanted = (row: AuditRow): number | null =>
    (measure === "last_3mm" ? row.asked?.last_3mm_ms : row.asked?.contact_ms) ?? null;
  const marks = rows
    .flatMap((row) => {
      const ms = had(row);
      return ms === null ? [] : [{ row, ms }];
    })
    .sort((a, b) => a.ms - b.ms);
  const counted = rows.filter((row) => row.training !== true && wanted(row) !== null);
  const targets = counted.map((row) => wanted(row) ?? 0);
  const reached = counted.filter((row) => (had(row) ?? -1) >= (wanted(row) ?? 0));
  return {
    irrigant,
    measure,
    marks,
    unknown: rows.length - marks.length,
    askedMs: targets.length === 0 ? null : [Math.min(...targets), Math.max(...targets)],
    reached: reached.length,
    asked: counted.length,
    mostMs: Math.max(60_000, ...marks.map((mark) => mark.ms), ...targets),
  };
}
