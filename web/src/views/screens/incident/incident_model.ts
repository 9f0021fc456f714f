/**
 * What the incident card says: its clock, and what each site was given up to the first sign.
 *
 * Amounts are what went through the needle. How much went beyond the apex nobody can compute.
 */

import type { AnyEvent, Delivered, IncidentDeclared, Mix, VisitRecord } from "../../../core/types";
import { contentsKey } from "../../canal/marks";

export interface Given {
  readonly site: string;
  readonly contents: Mix;
  /** Sum of the known amounts. [µL] */
  readonly volumeUl: number;
  /** Mass of each part's solute; null where a strength is unknown. [ng] */
  readonly passedNg: number | null;
  readonly atLeast: boolean;
  readonly about: boolean;
  readonly last: LastGiven;
}

export interface LastGiven {
  readonly volumeUl: number | null;
  readonly durationMs: number | null;
  readonly endMs: number;
}

export interface IncidentCard {
  readonly declared: IncidentDeclared;
  /** Instant that the incident's clock runs from. */
  readonly fromMs: number;
  readonly given: readonly Given[];
  readonly tooth: readonly Omit<Given, "last" | "site">[];
}

/** The first sign when a card is opened now: the stop that still stands, or this instant. */
export function firstSignMs(record: VisitRecord, nowMs: number): number {
  const last = record.standing.findLast(
    (event) => event.kind === "treatment_stopped" || event.kind === "treatment_resumed",
  );
  return last?.kind === "treatment_stopped" ? Math.min(last.occurred_at_ms, nowMs) : nowMs;
}

/** The latest declared incident of this visit, or null. */
export function declaredIncident(record: VisitRecord): IncidentDeclared | null {
  return record.standing.findLast((event) => event.kind === "incident_declared") ?? null;
}

/** The card of a declared incident. */
export function incidentCard(record: VisitRecord, declared: IncidentDeclared): IncidentCard {
  const fromMs = declared.first_sign_at_ms ?? declared.occurred_at_ms;
  const before = record.deliveries.filter((one) => one.start_ms <= fromMs);
  const bySite = grouped(before, (one) => `${one.site} ${contentsKey(one.contents)}`);
  const byContents = grouped(before, (one) => contentsKey(one.contents));
  return {
    declared,
    fromMs,
    given: bySite
      .map((group) => givenOf(group, record.standing))
      .sort((a, b) => siteAt(record, a.site) - siteAt(record, b.site)),
    tooth: byContents.map((group) => sumOf(group)),
  };
}

/** Canals in their order, the chamber after them. */
function siteAt(record: VisitRecord, site: string): number {
  const at = record.canals.findIndex((canal) => canal.canal === site);
  return at < 0 ? record.canals.length : at;
}

function grouped(
  deliveries: readonly Delivered[],
  key: (delivery: Delivered) => string,
): readonly (readonly Delivered[])[] {
  const groups = new Map<string, Delivered[]>();
  for (const one of deliveries) groups.set(key(one), [...(groups.get(key(one)) ?? []), one]);
  return [...groups.values()];
}

function givenOf(group: readonly Delivered[], events: readonly AnyEvent[]): Given {
  const last = group[group.length - 1] as Delivered;
  const event = events.find((one) => one.id === last.id);
  const durationMs = event?.kind === "irrigant_delivered" ? event.duration_ms : null;
  return {
    site: last.site,
    ...sumOf(group),
    last: { volumeUl: last.volume_ul, durationMs, endMs: last.end_ms },
  };
}

function sumOf(group: readonly Delivered[]): Omit<Given, "last" | "site"> {
  const contents = group[0]?.contents ?? [];
  const volumeUl = group.reduce((sum, one) => sum + (one.volume_ul ?? 0), 0);
  const strength = contents.length === 1 ? (contents[0]?.concentration_mg_per_l ?? null) : null;
  return {
    contents,
    volumeUl,
    passedNg: strength === null ? null : volumeUl * strength,
    atLeast: group.some((one) => one.volume_ul === null),
    about: group.some((one) => one.how !== "timed" && one.how !== "read"),
  };
}
