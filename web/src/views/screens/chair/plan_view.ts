/**
 * The plan as the chair reads it: the next act, the acts still open, how many each canal has left.
 *
 * The core binds and follows the plan; here its next step becomes an act with its figures. A canal
 * that is being shaped is kept at hand until its round is done, since nobody changes canals between
 * a rinse and its file; closing goes round all canals, step by step, as the plan says.
 */

import { plan } from "../../../core/plan.ts";
import type { At, PlanLine, Planned } from "../../../core/plan_values.ts";
import type { Kit, Mix, Protocol, VisitRecord } from "../../../core/types.ts";
import { sameContents } from "../../canal/marks";
import type { PlannedAct } from "./planned";

export interface PlanView {
  /** False without a protocol: then nothing is asked, and the chair only logs. */
  readonly asked: boolean;
  /** Acts not done and not left out, those at hand first. */
  readonly acts: readonly PlannedAct[];
  readonly next: PlannedAct | null;
  /** Instead of another round of files: the act after them, or null. */
  readonly orNext: PlannedAct | null;
  /** Steps left for each canal. */
  readonly left: ReadonlyMap<string, number>;
  /** Size of the small hand file that goes back to length, if the protocol names one. */
  readonly recapitulateSize: number | null;
}

const NONE: PlanView = {
  asked: false,
  acts: [],
  next: null,
  orNext: null,
  left: new Map(),
  recapitulateSize: null,
};

export function planView(kit: Kit | null, record: VisitRecord | null): PlanView {
  const protocol = kit?.protocol ?? null;
  if (kit === null || protocol === null || record === null) return NONE;
  const bound = plan(kit, record);
  const hands = bound.lines.flatMap((line) => handOf(protocol, record, line) ?? []);
  const first = atHand(protocol, record, hands);
  const act = (hand: Hand, slot: At | null): PlannedAct | null => {
    const found = slot === null ? undefined : slotOf(hand.line, protocol, slot);
    return found === undefined ? null : actOf(protocol, hand.line.site, found);
  };
  const next = first === null ? null : act(first, first.next);
  const atHands = hands.flatMap((hand) => act(hand, hand.next) ?? []);
  const rest = hands.flatMap(({ line }) =>
    openOf(line).map((slot) => actOf(protocol, line.site, slot)),
  );
  return {
    asked: true,
    acts: next === null ? [...atHands, ...rest] : [next, ...atHands, ...rest],
    next,
    orNext: first === null ? null : act(first, first.other),
    left: new Map(bound.lines.map((line) => [line.site, openOf(line).length])),
    recapitulateSize: recapitulateSize(protocol),
  };
}

/** What a line has at hand, and what may be done in its place. */
interface Hand {
  readonly line: PlanLine;
  readonly next: At;
  readonly other: At | null;
}

/**
 * After a round of files the plan may go on either way. Shaping to length goes on until a file had
 * the canal's size; elsewhere another file comes first only where no round was done yet.
 */
function handOf(protocol: Protocol, record: VisitRecord, line: PlanLine): Hand | null {
  if (line.next === null) return null;
  if (line.or_next === null) return { line, next: line.next, other: null };
  const stage = protocol.stages.find((one) => one.stage === line.next?.stage);
  const toLength = stage?.kind === "shape" && stage.part === "apical_third";
  const again = toLength && !sizeReached(record, line.site);
  return again
    ? { line, next: line.next, other: line.or_next }
    : { line, next: line.or_next, other: line.next };
}

/** Whether a file had the canal's apical size; an unknown size asks for nothing. */
function sizeReached(record: VisitRecord, site: string): boolean {
  const size = record.canals.find((one) => one.canal === site)?.apical_size ?? null;
  if (size === null) return true;
  return record.standing.some(
    (event) =>
      event.kind === "instrument_used" && event.canal === site && (event.size ?? 0) >= size,
  );
}

/** A slot with what it asks; one of a round still to come has no slot yet and asks the same. */
function slotOf(line: PlanLine, protocol: Protocol, slot: At): Planned | undefined {
  const found = line.steps.find((one) => sameSlot(one, slot));
  if (found !== undefined) return found;
  const like = line.steps.find((one) => one.stage === slot.stage && one.step === slot.step);
  const asked = protocol.stages
    .find((one) => one.stage === slot.stage)
    ?.steps.find((one) => one.step === slot.step);
  if (asked === undefined) return undefined;
  return { ...slot, status: "open", event: null, asked, tip_um: like?.tip_um ?? null };
}

function openOf(line: PlanLine): readonly Planned[] {
  return line.next === null ? [] : line.steps.filter((slot) => slot.status === "open");
}

function sameSlot(one: At, other: At): boolean {
  return one.stage === other.stage && one.step === other.step && one.cycle === other.cycle;
}

/** The least of all hands; but a canal that is being shaped is kept while its stage is at hand. */
function atHand(protocol: Protocol, record: VisitRecord, hands: readonly Hand[]): Hand | null {
  const stageAt = (slot: At): number =>
    protocol.stages.findIndex((stage) => stage.stage === slot.stage);
  const rank = ({ next }: Hand): readonly number[] => {
    const at = stageAt(next);
    const steps = protocol.stages[at]?.steps ?? [];
    return [at, next.cycle, steps.findIndex((step) => step.step === next.step)];
  };
  const [least] = [...hands].sort((a, b) => compared(rank(a), rank(b)));
  const busy = hands.find((hand) => hand.line.site === lastSite(record));
  if (least === undefined || busy === undefined) return least ?? null;
  const kind = protocol.stages[stageAt(busy.next)]?.kind;
  const isShaping = kind === "secure" || kind === "shape";
  return isShaping && stageAt(busy.next) === stageAt(least.next) ? busy : least;
}

function compared(one: readonly number[], other: readonly number[]): number {
  const differing = one.findIndex((rank, at) => rank !== other[at]);
  return differing < 0 ? 0 : (one[differing] ?? 0) - (other[differing] ?? 0);
}

function lastSite(record: VisitRecord): string | null {
  const last = record.standing.findLast(
    (event) =>
      event.kind === "irrigant_delivered" ||
      event.kind === "instrument_used" ||
      event.kind === "canal_recapitulated",
  );
  if (last === undefined) return null;
  return last.kind === "irrigant_delivered" ? last.site : last.canal;
}

function recapitulateSize(protocol: Protocol): number | null {
  const steps = protocol.stages.flatMap((stage) => stage.steps);
  return steps.find((step) => step.act === "recapitulate")?.size ?? null;
}

function actOf(protocol: Protocol, site: string, slot: Planned): PlannedAct {
  const { asked } = slot;
  return {
    stage: slot.stage,
    step: slot.step,
    cycle: slot.cycle,
    site,
    act: asked.act,
    contents: contentsOf(protocol, asked.solution),
    onFile: asked.on_file,
    volumeUl: asked.volume_ul,
    durationMs: asked.duration_ms,
    contactMs: asked.contact_ms,
    contactLimitMs: asked.contact_limit_ms,
    activation: asked.activation,
    tipUm: slot.tip_um,
    tipShortUm: asked.tip_short_of_wl_um,
    by: asked.by,
    check: asked.check,
    size: asked.size,
    taperUmPerMm: asked.taper_um_per_mm,
    motion: asked.motion,
    material: asked.material,
    text: asked.text,
  };
}

function contentsOf(protocol: Protocol, solution: string | null): Mix | null {
  if (solution === null) return null;
  return protocol.solutions.find((one) => one.solution === solution)?.contents ?? null;
}

/**
 * The delivery of some contents that is due at a site, or anywhere: of each site only its first
 * open delivery counts, so that no later rinse is taken for this one.
 */
export function nextFor(
  plan: PlanView,
  contents: Mix,
  site: string | null = null,
): PlannedAct | null {
  const first = new Map<string, PlannedAct>();
  for (const act of plan.acts) {
    if (act.act === "irrigate" && !act.onFile && !first.has(act.site)) first.set(act.site, act);
  }
  const due = [...first.values(), ...(plan.orNext === null ? [] : [plan.orNext])];
  return (
    due.find(
      (act) =>
        (site === null || act.site === site) &&
        act.act === "irrigate" &&
        act.contents !== null &&
        sameContents(act.contents, contents),
    ) ?? null
  );
}
