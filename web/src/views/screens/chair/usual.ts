/**
 * What an act is taken to be until someone says otherwise: the plan's figures, else those of the
 * last like act of this visit. Nothing is made up: what neither knows stays unknown.
 */

import type { IrrigantDelivered, VisitRecord } from "../../../core/types";
import type { Amounts } from "./hand";
import type { PlannedAct } from "./planned";

/** First amount offered where neither plan nor record knows one: a whole millilitre, to be stepped. */
const FIRST_OFFER_UL = 1000;

/** Amounts for a delivery from a syringe to a site. */
export function usualAmounts(
  record: VisitRecord,
  planned: PlannedAct | null,
  syringe: string,
  site: string,
): Amounts {
  const before = lastDelivery(record, (event) => event.syringe === syringe);
  const volumeUl = planned?.volumeUl ?? before?.volume_ul ?? FIRST_OFFER_UL;
  const durationMs =
    planned?.durationMs ?? (before?.volume_ul === volumeUl ? before.duration_ms : null);
  return { volumeUl, durationMs, tipUm: usualTip(record, planned, site), how: "planned" };
}

/** Depth of a needle's or a tip's end: as planned, else as at the last delivery there. [µm] */
export function usualTip(
  record: VisitRecord,
  planned: PlannedAct | null,
  site: string,
): number | null {
  if (site === "chamber") return null;
  if (planned?.site === site && planned.tipUm !== null) return planned.tipUm;
  const canal = record.canals.find((one) => one.canal === site);
  const before = lastDelivery(record, (event) => event.site === site && event.tip_um !== null);
  if (before !== null) return before.tip_um;
  const length = canal?.working_length_um ?? null;
  const short = planned?.tipShortUm ?? null;
  return length === null || short === null ? null : Math.max(0, length - short);
}

/** The last delivery that stands, of those that match. */
export function lastDelivery(
  record: VisitRecord,
  matches: (event: IrrigantDelivered) => boolean = () => true,
): IrrigantDelivered | null {
  const found = record.standing.findLast(
    (event) => event.kind === "irrigant_delivered" && event.by === null && matches(event),
  );
  return found?.kind === "irrigant_delivered" ? found : null;
}
