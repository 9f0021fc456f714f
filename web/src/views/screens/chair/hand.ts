/**
 * The syringe in the hand: picked up, spoken about, given in one canal after another, put back.
 *
 * Every step answers with what to log; nothing here logs, draws or reads a clock. The guard speaks
 * at the pick and, where the canal was not known then or another act has been made since, again
 * before the delivery. A hold waits for an answer; what happened is never refused.
 */

import { ms, ul, um } from "../../../core/quantities";
import type { How, Kit, Level, ProposedAct, VisitRecord, Warning } from "../../../core/types";
import type { Draft } from "../../../store/commands";
import type { Syringe } from "./rack";

/** What the chair stands on: the record as it is now, and who answers. */
export interface Bench {
  readonly record: VisitRecord;
  readonly kit: Kit | null;
  readonly nowMs: number;
  readonly warn: (act: ProposedAct) => readonly Warning[];
  readonly newId: () => string;
}

export interface Amounts {
  readonly volumeUl: number | null;
  readonly durationMs: number | null;
  readonly tipUm: number | null;
  readonly how: How;
}

export interface Spoken {
  readonly warning: Warning;
  /** Id of its `guard_spoke`. */
  readonly event: string;
  readonly released: boolean;
}

export interface Hand {
  readonly syringe: Syringe;
  readonly pick: string;
  readonly site: string | null;
  /** What was said for the act that comes next. */
  readonly spoken: readonly Spoken[];
  /** True once something was given: cautions and holds are then said again for the next act. */
  readonly used: boolean;
  /** A delivery that a hold keeps waiting. */
  readonly waiting: Waiting | null;
}

export interface Waiting {
  readonly delivery: string;
  readonly site: string;
  readonly amounts: Amounts;
}

export interface Step {
  readonly drafts: readonly Draft[];
  readonly hand: Hand;
  /** The delivery that was made, if one was. */
  readonly delivery: string | null;
}

type DraftOfDelivery = Extract<Draft, { readonly kind: "irrigant_delivered" }>;

const LEVELS: readonly Level[] = ["hold", "caution", "note"];

/** A syringe is taken up for a site, or for a site not known yet. */
export function pickUp(bench: Bench, syringe: Syringe, site: string | null): Step {
  const pick = bench.newId();
  const warnings = bench.warn(actOf(bench, syringe, site, null));
  const spoken = spokenOf(bench, warnings);
  return {
    drafts: [
      { kind: "syringe_picked", id: pick, syringe: syringe.syringe, site },
      ...spoken.map((one) => spokeDraft(one, pick)),
    ],
    hand: { syringe, pick, site, spoken, used: false, waiting: null },
    delivery: null,
  };
}

/** What is in the hand goes to a site; a hold that nobody let go keeps it waiting. */
export function give(bench: Bench, hand: Hand, site: string, amounts: Amounts): Step {
  const delivery = hand.waiting?.delivery ?? bench.newId();
  const warnings = bench.warn(actOf(bench, hand.syringe, site, amounts.tipUm));
  const fresh = warnings.filter((warning) => !saidBefore(hand, warning));
  const said = spokenOf(bench, fresh);
  const about = hand.used ? delivery : hand.pick;
  const drafts: Draft[] = said.map((one) => spokeDraft(one, about));
  const spoken = [...hand.spoken, ...said];
  const standing = spoken.filter((one) => warnings.some((warning) => same(warning, one.warning)));
  if (standing.some((one) => one.warning.level === "hold" && !one.released)) {
    return {
      drafts,
      hand: { ...hand, spoken, waiting: { delivery, site, amounts } },
      delivery: null,
    };
  }
  drafts.push({
    kind: "irrigant_delivered",
    id: delivery,
    site,
    ...sourceOf(hand.syringe),
    volume_ul: amounts.volumeUl === null ? null : ul(amounts.volumeUl),
    duration_ms: amounts.durationMs === null ? null : ms(amounts.durationMs),
    tip_um: amounts.tipUm === null ? null : um(amounts.tipUm),
    how: amounts.how,
    guard_shown: spoken.map((one) => one.event),
  });
  return { drafts, hand: { ...hand, spoken: [], used: true, waiting: null }, delivery };
}

/** What is on a file goes to a site with it: no pick is logged, the guard speaks before the act. */
export function giveOnFile(
  bench: Bench,
  syringe: Syringe,
  site: string,
  tipUm: number | null,
): Step {
  const hand: Hand = { syringe, pick: "", site, spoken: [], used: true, waiting: null };
  return give(bench, hand, site, { volumeUl: null, durationMs: null, tipUm, how: "planned" });
}

function sourceOf(syringe: Syringe): Pick<DraftOfDelivery, "syringe" | "contents" | "by"> {
  if (syringe.by === undefined) return { syringe: syringe.syringe };
  return { contents: syringe.contents, by: syringe.by };
}

/** Every hold of the coming act is let go, by order of a person, for a reason. */
export function release(bench: Bench, hand: Hand, orderedBy: string, reason: string): Step {
  const about = hand.used && hand.waiting !== null ? hand.waiting.delivery : hand.pick;
  const drafts: Draft[] = hand.spoken.filter(isHeld).map(({ warning }) => ({
    kind: "hold_released",
    rule: warning.rule,
    level: "hold",
    about: warning.about,
    act: about,
    ordered_by: orderedBy,
    reason,
  }));
  const spoken = hand.spoken.map((one) => (isHeld(one) ? { ...one, released: true } : one));
  const free = { ...hand, spoken };
  if (hand.waiting === null) return { drafts, hand: free, delivery: null };
  const given = give(bench, free, hand.waiting.site, hand.waiting.amounts);
  return { ...given, drafts: [...drafts, ...given.drafts] };
}

/**
 * What would be said at the next site beyond what was said at the pick: cautions that hang on the
 * depth. Shown before the tap; logged with it.
 */
export function aheadOf(
  bench: Bench,
  hand: Hand,
  site: string,
  tipUm: number | null,
): readonly Spoken[] {
  return bench
    .warn(actOf(bench, hand.syringe, site, tipUm))
    .filter((warning) => warning.level === "caution" && !saidBefore(hand, warning))
    .map((warning) => ({
      warning,
      event: `ahead ${warning.rule} ${warning.about}`,
      released: false,
    }));
}

export function isHeld(spoken: Spoken): boolean {
  return spoken.warning.level === "hold" && !spoken.released;
}

/** The most that would be said of each site now; null = nothing. */
export function targetLevels(
  bench: Bench,
  hand: Hand,
  sites: readonly string[],
  tipOf: (site: string) => number | null,
): ReadonlyMap<string, Level | null> {
  return new Map(
    sites.map((site) => {
      const warnings = bench.warn(actOf(bench, hand.syringe, site, tipOf(site)));
      return [site, worst(warnings.map((warning) => warning.level))];
    }),
  );
}

export function worst(levels: readonly Level[]): Level | null {
  return LEVELS.find((level) => levels.includes(level)) ?? null;
}

function actOf(
  bench: Bench,
  syringe: Syringe,
  site: string | null,
  tipUm: number | null,
): ProposedAct {
  return {
    contents: syringe.contents,
    site,
    syringe: syringe.by === undefined ? syringe.syringe : null,
    by: syringe.by ?? null,
    tip_um: tipUm === null ? null : um(tipUm),
    at_ms: ms(bench.nowMs),
  };
}

function spokenOf(bench: Bench, warnings: readonly Warning[]): readonly Spoken[] {
  return warnings.map((warning) => ({ warning, event: bench.newId(), released: false }));
}

function spokeDraft(spoken: Spoken, act: string): Draft {
  const { rule, level, about, sites } = spoken.warning;
  return { kind: "guard_spoke", id: spoken.event, rule, level, about, sites, act };
}

function saidBefore(hand: Hand, warning: Warning): boolean {
  return hand.spoken.some((one) => same(one.warning, warning));
}

/** The same thing said: a site of the pick's list is among those named then. */
function same(one: Warning, other: Warning): boolean {
  return one.rule === other.rule && one.about === other.about && one.level === other.level;
}
