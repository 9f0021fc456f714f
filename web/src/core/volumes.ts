/** What went through the needle, by site and for the tooth; mostly aspirated again, never "absorbed". */

import { groupedBy } from "./grouping.ts";
import { ul } from "./quantities.ts";
import { CHAMBER } from "./sites.ts";
import type { Component, Delivered, How, VisitRecord, VolumeRow } from "./types.ts";

const ABOUT: ReadonlySet<How> = new Set<How>(["planned", "estimated", "recalled"]);
const MEASURED: ReadonlySet<How> = new Set<How>(["timed", "read"]);

/** Volume of each irrigant and strength at each site: canals as they became known, then the chamber. */
export function volumes(record: VisitRecord): VolumeRow[] {
  const sites = [...record.canals.map((canal) => canal.canal), CHAMBER];
  const order = new Map(sites.map((site, at) => [site, at]));
  const place = (row: VolumeRow): number => order.get(row.site) ?? order.size;
  return summed(record.deliveries.flatMap(rowsOf)).sort((a, b) => place(a) - place(b));
}

/** The same summed over the sites. */
export function toothVolumes(bySite: readonly VolumeRow[]): VolumeRow[] {
  return summed(bySite.map((row) => ({ ...row, site: "tooth" })));
}

/** How much of the known volume was timed or read. [%], rounded down; null without volume. */
export function measuredSharePct(record: VisitRecord): number | null {
  const wholeUl = sumUl(record.deliveries);
  const measuredUl = sumUl(record.deliveries.filter((delivery) => MEASURED.has(delivery.how)));
  return wholeUl === 0 ? null : Number((BigInt(measuredUl) * 100n) / BigInt(wholeUl));
}

function sumUl(deliveries: readonly Delivered[]): number {
  return deliveries.reduce((sum, delivery) => sum + (delivery.volume_ul ?? 0), 0);
}

function rowsOf(delivery: Delivered): VolumeRow[] {
  return delivery.contents.map((component: Component) => ({
    site: delivery.site,
    irrigant: component.irrigant,
    concentration_mg_per_l: component.concentration_mg_per_l,
    volume_ul: delivery.volume_ul ?? ul(0),
    at_least: delivery.volume_ul === null,
    about: delivery.volume_ul !== null && ABOUT.has(delivery.how),
    passed_ng: null,
  }));
}

function summed(rows: readonly VolumeRow[]): VolumeRow[] {
  const keyOf = (row: VolumeRow): string =>
    `${row.site} ${row.irrigant} ${row.concentration_mg_per_l}`;
  return [...groupedBy(rows, keyOf).values()].flatMap((alike) => {
    const [first] = alike;
    if (first === undefined) return [];
    const volumeUl = ul(alike.reduce((sum, row) => sum + row.volume_ul, 0));
    return {
      ...first,
      volume_ul: volumeUl,
      at_least: alike.some((row) => row.at_least),
      about: alike.some((row) => row.about),
      passed_ng: passedNg(volumeUl, first.concentration_mg_per_l),
    };
  });
}

/**
 * Mass of solute that went through the needle: ng = µL x mg/L (definition of mass concentration).
 * Exact below 2^53 ng, which is 9 kg.
 */
function passedNg(volumeUl: number, concentrationMgPerL: number | null): number | null {
  return concentrationMgPerL === null ? null : volumeUl * concentrationMgPerL;
}
