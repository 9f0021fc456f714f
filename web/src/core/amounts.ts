/** Volume of each delivery once the readings of its syringe are taken into account. */

import { finding } from "./findings.ts";
import { ul } from "./quantities.ts";
import type { AnyEvent, Finding, IrrigantDelivered, Microlitres, SyringeRead } from "./types.ts";

export interface Amounts {
  /** Of every standing delivery, by id; null = unknown. [µL] */
  readonly volumeUl: ReadonlyMap<string, Microlitres | null>;
  readonly findings: readonly Finding[];
}

/** The amounts, and a finding wherever a reading does not agree with what was recorded. */
export function amounts(standing: readonly AnyEvent[]): Amounts {
  const volumeUl = new Map<string, Microlitres | null>();
  const findings: Finding[] = [];
  const barrels = new Map<string, Barrel>();
  for (const event of standing) {
    switch (event.kind) {
      case "syringe_prepared":
        barrels.set(event.syringe, { levelUl: event.volume_ul, stretch: [] });
        break;
      case "irrigant_delivered":
        volumeUl.set(event.id, event.volume_ul);
        if (event.syringe !== null) barrel(barrels, event.syringe).stretch.push(event);
        break;
      case "syringe_read":
        read(barrel(barrels, event.syringe), event, volumeUl, findings);
        break;
    }
  }
  return { volumeUl, findings };
}

interface Barrel {
  levelUl: number | null;
  stretch: IrrigantDelivered[];
}

function barrel(barrels: Map<string, Barrel>, syringe: string): Barrel {
  const found = barrels.get(syringe) ?? { levelUl: null, stretch: [] };
  barrels.set(syringe, found);
  return found;
}

function read(
  of: Barrel,
  reading: SyringeRead,
  volumeUl: Map<string, Microlitres | null>,
  findings: Finding[],
): void {
  const leftUl = reading.emptied ? 0 : reading.left_ul;
  if (leftUl === null) return;
  if (of.levelUl !== null) {
    const usedUl = of.levelUl - leftUl;
    const parts = shared(of.stretch, usedUl);
    for (const [id, part] of parts ?? []) volumeUl.set(id, part);
    if (parts === null && contradicts(of.stretch, usedUl)) {
      const events = [reading.id, ...of.stretch.map((delivery) => delivery.id)];
      findings.push(finding("reading_conflict", "notice", { events }));
    }
  }
  of.levelUl = leftUl;
  of.stretch = [];
}

/** Whether an amount is known no better than planned or estimated, so that a reading may share it. */
function isLoose(delivery: IrrigantDelivered): boolean {
  return delivery.how === "planned" || delivery.how === "estimated";
}

/**
 * What was measured, less the firm amounts, shared among the loose ones in proportion:
 *
 *     share_i = v_i x (used - firm) / sum(v)
 *
 * in whole microlitres, the remainder one by one to the largest fractions, smaller keys first.
 * Null if it cannot be shared: an amount is unknown, nothing is loose, or less than nothing is left.
 *
 * @param stretch Deliveries of one barrel between two levels, in the order of their keys.
 * @param usedUl What the barrel lost between them. [µL]
 */
export function shared(
  stretch: readonly IrrigantDelivered[],
  usedUl: number,
): ReadonlyMap<string, Microlitres> | null {
  if (stretch.some((delivery) => delivery.volume_ul === null)) return null;
  const loose = stretch.filter(isLoose);
  const restUl = usedUl - sumUl(stretch.filter((delivery) => !isLoose(delivery)));
  const wholeUl = sumUl(loose);
  if (wholeUl === 0 || restUl < 0) return null;
  const parts = loose.map((delivery, order) => {
    const product = BigInt(delivery.volume_ul ?? 0) * BigInt(restUl);
    const partUl = product / BigInt(wholeUl);
    return { id: delivery.id, order, partUl: Number(partUl), fraction: product % BigInt(wholeUl) };
  });
  const leftOver = restUl - parts.reduce((sum, part) => sum + part.partUl, 0);
  const favoured = [...parts].sort((a, b) =>
    a.fraction === b.fraction ? a.order - b.order : a.fraction > b.fraction ? -1 : 1,
  );
  for (const part of favoured.slice(0, leftOver)) part.partUl += 1;
  return new Map(parts.map((part) => [part.id, ul(part.partUl)]));
}

function contradicts(stretch: readonly IrrigantDelivered[], usedUl: number): boolean {
  return stretch.every((delivery) => delivery.volume_ul !== null) && sumUl(stretch) !== usedUl;
}

function sumUl(deliveries: readonly IrrigantDelivered[]): number {
  return deliveries.reduce((sum, delivery) => sum + (delivery.volume_ul ?? 0), 0);
}
