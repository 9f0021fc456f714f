/** The events that a figure of the table rests on, so that each can be looked at. */

import type { AnyEvent, Slice, Stay, VisitRecord } from "../../../core/types.ts";
import type { Measure } from "./table_model";

/** Ids of the standing events behind one figure, in the order in which they happened. */
export function restsOn(
  record: VisitRecord,
  site: string,
  irrigant: string,
  measure: Measure,
): readonly string[] {
  const slices = record.slices.filter((slice) => slice.site === site);
  const sites = new Set(["chamber", site, ...slices.flatMap((one) => one.shared_with ?? [])]);
  const stays = slices.flatMap((slice) =>
    slice.stays.filter((stay) => stay.contents.some((one) => one.irrigant === irrigant)),
  );
  const given = new Set(
    record.deliveries
      .filter((one) => one.contents.some((part) => part.irrigant === irrigant))
      .filter((one) =>
        measure === "volume"
          ? one.site === site
          : sites.has(one.site) && stays.some((stay) => isIn(stay, one.start_ms)),
      )
      .map((one) => one.id),
  );
  if (measure === "volume") return idsOf(record, (event) => given.has(event.id));
  const ends = new Set(stays.map((stay) => stay.end_ms));
  const starts = new Map(record.deliveries.map((one) => [one.id, one.start_ms]));
  const wanted = (event: AnyEvent): boolean => {
    if (given.has(event.id)) return true;
    const where = siteOf(event);
    if (where === null || !sites.has(where)) return false;
    switch (event.kind) {
      case "irrigant_delivered":
        return ends.has(starts.get(event.id) ?? null);
      case "irrigant_removed":
      case "dressing_placed":
      case "canal_filled":
        return ends.has(event.occurred_at_ms);
      case "activation_started":
      case "activation_stopped":
        return measure === "activated" && workedOn(slices, event.occurred_at_ms);
      case "canal_set":
        return isApical(measure) && event.working_length_um !== null;
      default:
        return false;
    }
  };
  return idsOf(record, wanted);
}

function isApical(measure: Measure): boolean {
  return measure === "last_3mm_least" || measure === "last_3mm_mean";
}

function isIn(stay: Stay, atMs: number): boolean {
  return stay.start_ms <= atMs && (stay.end_ms === null || stay.end_ms > atMs);
}

function workedOn(slices: readonly Slice[], atMs: number): boolean {
  return slices.some((slice) =>
    slice.active.some(([start, end]) => start === atMs || end === atMs),
  );
}

function siteOf(event: AnyEvent): string | null {
  if ("site" in event && typeof event.site === "string") return event.site;
  return "canal" in event && typeof event.canal === "string" ? event.canal : null;
}

function idsOf(record: VisitRecord, wanted: (event: AnyEvent) => boolean): readonly string[] {
  return record.standing.filter(wanted).map((event) => event.id);
}
