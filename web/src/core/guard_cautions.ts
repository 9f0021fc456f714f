/** What is said each time, and asks for nothing. */

import { union } from "./intervals.ts";
import { UM_PER_MM, UM_PER_SIZE } from "./quantities.ts";
import { Rack } from "./rack.ts";
import type { Reactions } from "./reactions.ts";
import type {
  Canal,
  Interval,
  Kit,
  Limit,
  ProposedAct,
  Slice,
  SyringePrepared,
  VisitRecord,
  Warning,
} from "./types.ts";
import { warning } from "./warnings.ts";

export function cautions(
  kit: Kit,
  reactions: Reactions,
  record: VisitRecord,
  act: ProposedAct,
): Warning[] {
  const filling = new Rack(record.standing).fillings(act.syringe).at(-1);
  return [
    ...useByPassed(filling, act),
    ...needleWouldBind(kit, record, filling, act),
    ...isolationAfterStop(record),
    ...chelatorPastLimit(kit, reactions, record, act.at_ms),
  ];
}

function useByPassed(filling: SyringePrepared | undefined, act: ProposedAct): Warning[] {
  if (filling?.use_by_ms == null || act.at_ms <= filling.use_by_ms) return [];
  return [warning("use_by_passed", "caution", { about: filling.syringe })];
}

function needleWouldBind(
  kit: Kit,
  record: VisitRecord,
  filling: SyringePrepared | undefined,
  { site, tip_um: tipUm }: ProposedAct,
): Warning[] {
  const canal = record.canals.find((one) => one.canal === site);
  const { needles, reach } = kit.catalogue;
  const needle = needles.find((one) => one.needle_gauge === filling?.needle_gauge);
  if (site === null || canal === undefined || needle === undefined || tipUm === null) return [];
  const widthNm = widthAtNm(canal, tipUm);
  const neededNm = (needle.outer_max_um + reach.clearance_um) * UM_PER_MM;
  if (widthNm === null || neededNm <= widthNm) return [];
  return [warning("needle_would_bind", "caution", { sites: [site] })];
}

/**
 * Diameter of a canal at a depth, as a truncated cone of ISO 3630-1 size and taper: D = D0 + T (WL - depth).
 * [nm]; no room at all beyond working length; null while length, size or taper is unknown.
 */
function widthAtNm(canal: Canal, depthUm: number): number | null {
  const { working_length_um: lengthUm, apical_size: size, taper_um_per_mm: taper } = canal;
  if (lengthUm === null || size === null || taper === null) return null;
  if (depthUm > lengthUm) return 0;
  return size * UM_PER_SIZE * UM_PER_MM + taper * (lengthUm - depthUm);
}

/** Isolation was confirmed, work was stopped, and it has not been confirmed again. */
function isolationAfterStop(record: VisitRecord): Warning[] {
  const stops = record.standing.filter(
    (event) =>
      event.kind === "treatment_stopped" ||
      event.kind === "treatment_resumed" ||
      (event.kind === "check_done" && event.what === "isolation"),
  );
  const wasConfirmed = stops.some((event) => event.kind === "check_done");
  const isOpen = wasConfirmed && stops.at(-1)?.kind !== "check_done";
  return isOpen ? [warning("isolation_after_stop", "caution")] : [];
}

function chelatorPastLimit(
  kit: Kit,
  reactions: Reactions,
  record: VisitRecord,
  atMs: number,
): Warning[] {
  const limits = kit.protocol?.limits ?? [];
  return limits
    .filter(({ irrigant }) => reactions.kind(irrigant) === "chelator")
    .flatMap((limit) => {
      const past = record.slices.filter(
        (slice) => runMs(slice, limit, atMs) > limit.longest_run_ms,
      );
      const sites = [...new Set(past.map((slice) => slice.site))];
      const said = { about: limit.irrigant, sites };
      return sites.length === 0 ? [] : [warning("chelator_past_limit", "caution", said)];
    });
}

/** How long the contact that still lasts has gone unbroken at a slice; 0 if none lasts. [ms] */
function runMs(slice: Slice, { irrigant }: Limit, atMs: number): number {
  const here = slice.stays.filter(
    (stay) => !stay.dressing && stay.contents.some((one) => one.irrigant === irrigant),
  );
  if (!here.some((stay) => stay.end_ms === null)) return 0;
  const run = union(here.map((stay): Interval => [stay.start_ms, stay.end_ms ?? atMs])).at(-1);
  return run === undefined ? 0 : run[1] - run[0];
}
