/**
 * What happens at one chair: the record as signals, the hand, the chosen tool, and every command.
 *
 * A command logs one tap's events in one go and then shows them; nothing waits for the network.
 */

import { batch, computed, type ReadonlySignal, type Signal, signal } from "@preact/signals";
import { guard } from "../../../core/guard.ts";
import { um } from "../../../core/quantities.ts";
import type { Kit, Mix, VisitRecord } from "../../../core/types.ts";
import { type Draft, log, newId } from "../../../store/commands";
import { exactNow } from "../../../store/now";
import { kitOfVisit, recordOf } from "../../../store/records";
import type { Logged } from "../../../store/shapes";
import { words } from "../../../strings/chair";
import { volumeText } from "../../canal/amounts";
import { markOf } from "../../canal/marks";
import {
  type Amounts,
  type Bench,
  give,
  giveOnFile,
  type Hand,
  pickUp,
  release,
  type Step,
} from "./hand";
import { nextFor, type PlanView, planView } from "./plan_view";
import type { PlannedAct } from "./planned";
import { onFile, rack, type Syringe, syringes } from "./rack";
import { actText } from "./texts";
import { timersOf } from "./timers_of";
import { adjustable, type LastLogged, lastLogged, payloadOf, undoDrafts } from "./undo";
import { lastDelivery, usualAmounts, usualTip } from "./usual";

/** What a tap on a canal means now. */
export type Tool =
  | { readonly tool: "syringes" }
  | {
      readonly tool: "file";
      readonly size: number;
      readonly taperUmPerMm: number;
      readonly motion: "hand" | "rotary" | "reciprocating";
      readonly shortUm: number;
      readonly onFile: Mix | null;
    }
  | { readonly tool: "recapitulate"; readonly size: number }
  | {
      readonly tool: "remove";
      readonly by: "aspiration" | "points";
      readonly dry: "yes" | "no" | "blood" | "exudate" | null;
    }
  | {
      readonly tool: "activate";
      readonly kind: "manual_dynamic" | "sonic" | "ultrasonic" | "laser" | "negative_pressure";
    }
  | {
      readonly tool: "check";
      readonly what: "isolation" | "patency" | "glide_path" | "gauging" | "radiograph" | "cone_fit";
      readonly result: string | null;
    };

export type Sheet =
  | { readonly sheet: "canal"; readonly canal: string }
  | { readonly sheet: "more" }
  | { readonly sheet: "new_canal" }
  | { readonly sheet: "new_syringe" }
  | { readonly sheet: "syringe"; readonly syringe: string }
  | { readonly sheet: "fill" }
  | { readonly sheet: "note" }
  | { readonly sheet: "questions" }
  | { readonly sheet: "team" }
  | { readonly sheet: "close" }
  | { readonly sheet: "resume" }
  | { readonly sheet: "skip" };

export interface Chair {
  readonly visit: string;
  readonly record: ReadonlySignal<VisitRecord | null>;
  readonly kit: ReadonlySignal<Kit | null>;
  readonly plan: ReadonlySignal<PlanView>;
  readonly rack: ReadonlySignal<readonly Syringe[]>;
  readonly hand: Signal<Hand | null>;
  readonly tool: Signal<Tool>;
  readonly sheet: Signal<Sheet | null>;
  /** A delivery that is being timed. */
  readonly timing: Signal<{ readonly site: string; readonly fromMs: number } | null>;
  readonly timeIt: Signal<boolean>;
  /** Amount chosen by the steppers for what is in the hand; null = the usual one. */
  readonly stepped: Signal<{ readonly volumeUl: number | null } | null>;
  readonly last: Signal<LastLogged | null>;
  readonly stopped: ReadonlySignal<number | null>;
}

const chairs = new Map<string, Chair>();

/** The chair of a visit; one for as long as the page lives, so that leaving and coming back keeps the hand. */
export function chairOf(visit: string): Chair {
  const known = chairs.get(visit);
  if (known !== undefined) return known;
  const record = recordOf(visit);
  const kit = kitOfVisit(visit);
  const made: Chair = {
    visit,
    record,
    kit,
    plan: computed(() => planView(kit.value, record.value)),
    rack: computed(() => (record.value === null ? [] : rack(record.value))),
    hand: signal<Hand | null>(null),
    tool: signal<Tool>({ tool: "syringes" }),
    sheet: signal<Sheet | null>(null),
    timing: signal(null),
    timeIt: signal(false),
    stepped: signal(null),
    last: signal<LastLogged | null>(null),
    stopped: computed(() => stoppedSince(record.value)),
  };
  chairs.set(visit, made);
  return made;
}

/** Instant of the stop that still stands, or null. */
function stoppedSince(record: VisitRecord | null): number | null {
  const last = record?.standing.findLast(
    (event) => event.kind === "treatment_stopped" || event.kind === "treatment_resumed",
  );
  return last?.kind === "treatment_stopped" ? last.occurred_at_ms : null;
}

export function benchOf(chair: Chair): Bench | null {
  const record = chair.record.peek();
  if (record === null) return null;
  const kit = chair.kit.peek();
  return { record, kit, nowMs: exactNow(), warn: (act) => guard(kit, record, act), newId };
}

/** Log one tap's drafts and keep what was done for undo. */
export async function logTap(
  chair: Chair,
  drafts: readonly Draft[],
  text: string,
): Promise<readonly Logged[]> {
  if (drafts.length === 0) return [];
  const logged = await log(chair.visit, ...drafts);
  const last = lastLogged(text, logged, exactNow());
  if (last !== null) chair.last.value = last;
  return logged;
}

/** Tap 1: a syringe from the rack. The guard speaks for the canal that the plan has next for it. */
export async function pick(chair: Chair, syringe: Syringe): Promise<void> {
  const bench = benchOf(chair);
  if (bench === null) return;
  const planned = nextFor(chair.plan.peek(), syringe.contents);
  const step = pickUp(bench, syringe, planned?.site ?? null);
  batch(() => {
    chair.hand.value = step.hand;
    chair.tool.value = { tool: "syringes" };
    chair.stepped.value = null;
    chair.timing.value = null;
  });
  await logTap(chair, step.drafts, "");
}

export function putBack(chair: Chair): void {
  batch(() => {
    chair.hand.value = null;
    chair.timing.value = null;
    chair.stepped.value = null;
  });
}

/** What would be logged if the syringe in hand were given at a site now. */
export function amountsFor(chair: Chair, hand: Hand, site: string): Amounts {
  const record = chair.record.value;
  if (record === null) return { volumeUl: null, durationMs: null, tipUm: null, how: "planned" };
  const planned = nextFor(chair.plan.value, hand.syringe.contents, site);
  const usual = usualAmounts(record, planned, hand.syringe.syringe, site);
  const stepped = chair.stepped.value;
  return stepped === null ? usual : { ...usual, volumeUl: stepped.volumeUl, how: "estimated" };
}

/** Tap 2: a canal or the chamber. */
export async function tapSite(chair: Chair, site: string): Promise<void> {
  const hand = chair.hand.peek();
  const tool = chair.tool.peek();
  if (tool.tool !== "syringes") return useTool(chair, tool, site);
  if (hand === null) {
    if (site !== "chamber") chair.sheet.value = { sheet: "canal", canal: site };
    return;
  }
  const timing = chair.timing.peek();
  if (chair.timeIt.peek() && timing?.site !== site) {
    chair.timing.value = { site, fromMs: exactNow() };
    return;
  }
  const usual = amountsFor(chair, hand, site);
  const amounts: Amounts =
    timing === null
      ? usual
      : { ...usual, durationMs: Math.max(0, exactNow() - timing.fromMs), how: "timed" };
  await giveNow(chair, hand, site, amounts);
}

async function giveNow(chair: Chair, hand: Hand, site: string, amounts: Amounts): Promise<void> {
  const bench = benchOf(chair);
  if (bench === null) return;
  await settle(chair, give(bench, hand, site, amounts), site, amounts);
}

/** The hold is let go: by whom and why. */
export async function letGo(chair: Chair, orderedBy: string, reason: string): Promise<void> {
  const bench = benchOf(chair);
  const hand = chair.hand.peek();
  if (bench === null || hand === null) return;
  const waiting = hand.waiting;
  const step = release(bench, hand, orderedBy, reason);
  await settle(chair, step, waiting?.site ?? null, waiting?.amounts ?? null);
}

async function settle(
  chair: Chair,
  step: Step,
  site: string | null,
  amounts: Amounts | null,
): Promise<void> {
  const contents = step.hand.syringe.contents;
  const planned = site === null ? null : nextFor(chair.plan.peek(), contents, site);
  const timers = step.delivery === null ? [] : timersOf(planned, step.delivery, exactNow());
  batch(() => {
    chair.hand.value =
      step.hand.syringe.by === undefined || step.delivery === null ? step.hand : null;
    chair.timing.value = null;
    if (step.delivery !== null) chair.stepped.value = null;
  });
  const amount = amounts?.volumeUl ?? null;
  const text =
    site === null
      ? ""
      : actText(
          markOf(contents, entriesOf(chair)).short,
          amount === null ? words.rack.amount_unknown : volumeText(amount),
          site,
        );
  await logTap(chair, [...step.drafts, ...timers], text);
}

export function entriesOf(chair: Chair) {
  return chair.kit.value?.catalogue.irrigants ?? [];
}

/** What "again" would do: the last delivery once more, or null. */
export function againOf(
  chair: Chair,
): { readonly syringe: Syringe; readonly site: string; readonly amounts: Amounts } | null {
  const record = chair.record.value;
  if (record === null) return null;
  const event = lastDelivery(record, (one) => one.syringe !== null);
  const syringe = chair.rack.value.find((one) => one.syringe === event?.syringe);
  if (event === null || syringe === undefined) return null;
  return {
    syringe,
    site: event.site,
    amounts: {
      volumeUl: event.volume_ul,
      durationMs: event.duration_ms,
      tipUm: event.tip_um,
      how: "planned",
    },
  };
}

export async function again(chair: Chair): Promise<void> {
  const what = againOf(chair);
  const bench = benchOf(chair);
  if (what === null || bench === null) return;
  const held = chair.hand.peek();
  const picked =
    held?.syringe.syringe === what.syringe.syringe ? null : pickUp(bench, what.syringe, what.site);
  const step = give(bench, picked?.hand ?? (held as Hand), what.site, what.amounts);
  await settle(
    chair,
    { ...step, drafts: [...(picked?.drafts ?? []), ...step.drafts] },
    what.site,
    what.amounts,
  );
}

/** What "cycle" would do: irrigate, recapitulate, irrigate in the canal of the last file. */
export function cycleOf(
  chair: Chair,
): { readonly canal: string; readonly size: number; readonly syringe: Syringe } | null {
  const record = chair.record.value;
  const what = againOf(chair);
  if (record === null || what === null) return null;
  const file = record.standing.findLast(
    (event) => event.kind === "instrument_used" || event.kind === "canal_recapitulated",
  );
  if (file?.kind !== "instrument_used" && file?.kind !== "canal_recapitulated") return null;
  const size = chair.plan.value.recapitulateSize ?? file.size;
  return size === null ? null : { canal: file.canal, size, syringe: what.syringe };
}

export async function cycle(chair: Chair): Promise<void> {
  const what = cycleOf(chair);
  const bench = benchOf(chair);
  if (what === null || bench === null) return;
  const usual = usualAmounts(
    bench.record,
    nextFor(chair.plan.peek(), what.syringe.contents, what.canal),
    what.syringe.syringe,
    what.canal,
  );
  const picked = pickUp(bench, what.syringe, what.canal);
  const first = give(bench, picked.hand, what.canal, usual);
  if (first.delivery === null) {
    chair.hand.value = first.hand;
    await logTap(chair, [...picked.drafts, ...first.drafts], "");
    return;
  }
  const length =
    bench.record.canals.find((one) => one.canal === what.canal)?.working_length_um ?? null;
  const delivered = first.drafts.filter((draft) => draft.kind === "irrigant_delivered");
  const second = delivered.map((draft) => ({ ...draft, id: newId(), guard_shown: [] }));
  const file: Draft = {
    kind: "canal_recapitulated",
    canal: what.canal,
    size: what.size,
    length_um: length,
    motion: "hand",
  };
  await logTap(
    chair,
    [...picked.drafts, ...first.drafts, file, ...second],
    words.cycle_what(String(what.size), what.canal.toUpperCase()),
  );
}

export async function undo(chair: Chair): Promise<void> {
  const last = chair.last.peek();
  if (last === null) return;
  chair.last.value = null;
  await log(chair.visit, ...undoDrafts(last, words.undo_reason));
}

/** Step the amount of what was just logged: an open correction, seen with both values. */
export async function adjust(chair: Chair, volumeUl: number): Promise<void> {
  const last = chair.last.peek();
  const delivery = adjustable(last);
  if (last === null || delivery === null) return;
  const id = newId();
  const how = delivery.how === "planned" ? "estimated" : delivery.how;
  const payload = payloadOf(delivery, { volume_ul: volumeUl, how });
  const events = last.events.map((event) =>
    event.id === delivery.id ? { ...event, volume_ul: volumeUl } : event,
  );
  const versions = new Map(last.versions).set(delivery.id, id);
  chair.last.value = { ...last, events, versions, atMs: exactNow() };
  await log(chair.visit, {
    kind: "entry_corrected",
    id,
    entry: delivery.id,
    replaces: last.versions.get(delivery.id) ?? delivery.id,
    reason: words.adjusted_reason,
    payload,
  });
}

/** A tool other than a syringe is used at a site. */
export async function useTool(chair: Chair, tool: Tool, site: string): Promise<void> {
  const bench = benchOf(chair);
  if (bench === null) return;
  const canal = bench.record.canals.find((one) => one.canal === site) ?? null;
  const length = canal?.working_length_um ?? null;
  const name = site === "chamber" ? words.chamber : site.toUpperCase();
  if (tool.tool === "remove") {
    const toUm = tool.by === "points" ? null : usualTip(bench.record, null, site);
    await logTap(
      chair,
      [
        {
          kind: "irrigant_removed",
          site,
          by: tool.by,
          to_um: toUm === null ? null : um(toUm),
          dry: tool.by === "points" ? tool.dry : null,
        },
      ],
      actText(tool.by === "points" ? words.remove.points : words.remove.aspirate, "", site),
    );
    return;
  }
  if (tool.tool === "check") {
    await logTap(
      chair,
      [
        {
          kind: "check_done",
          what: tool.what,
          site: site === "chamber" ? null : site,
          result: tool.result,
        },
      ],
      actText(words.check.what[tool.what], tool.result ?? "", site),
    );
    return;
  }
  if (site === "chamber") return;
  if (tool.tool === "file") {
    const reached = length === null ? null : Math.max(0, length - tool.shortUm);
    const coated =
      tool.onFile === null ? null : giveOnFile(bench, onFile(tool.onFile), site, reached);
    const file: Draft = {
      kind: "instrument_used",
      canal: site,
      size: tool.size,
      taper_um_per_mm: tool.taperUmPerMm,
      length_um: reached === null ? null : um(reached),
      motion: tool.motion,
    };
    if (coated !== null && coated.delivery === null) return hold(chair, coated);
    await logTap(chair, [...(coated?.drafts ?? []), file], words.file.log(String(tool.size), name));
    return;
  }
  if (tool.tool === "recapitulate") {
    await logTap(
      chair,
      [
        {
          kind: "canal_recapitulated",
          canal: site,
          size: tool.size,
          length_um: length,
          motion: "hand",
        },
      ],
      `${words.tools.recapitulate} ${tool.size} ${name}`,
    );
    return;
  }
  if (tool.tool === "activate") await toggleActivation(chair, site, tool.kind);
}

/** A hold on what was on the file waits in the strip like any other. */
async function hold(chair: Chair, step: Step): Promise<void> {
  chair.hand.value = step.hand;
  await logTap(chair, step.drafts, "");
}

/** Start an activation in a canal, or stop the one that runs there. */
export async function toggleActivation(
  chair: Chair,
  canal: string,
  kind: Extract<Tool, { tool: "activate" }>["kind"],
): Promise<void> {
  const record = chair.record.peek();
  if (record === null) return;
  const running = record.activations.findLast((one) => one.canal === canal);
  const planned =
    chair.plan
      .peek()
      .acts.find(
        (act) => act.act === "activate" && act.site === canal && act.activation === kind,
      ) ?? null;
  const tipUm = planned?.tipUm ?? usualTip(record, null, canal);
  const named = words.activate.kinds[kind];
  if (running !== undefined && running.stopped === null) {
    await logTap(
      chair,
      [
        {
          kind: "activation_stopped",
          canal,
          activation: running.activation,
          tip_um: tipUm === null ? null : um(tipUm),
        },
      ],
      words.activate.stop(named, canal.toUpperCase()),
    );
    return;
  }
  const id = newId();
  await logTap(
    chair,
    [
      {
        kind: "activation_started",
        id,
        canal,
        activation: kind,
        tip_um: tipUm === null ? null : um(tipUm),
      },
      ...timersOf(planned, id, exactNow()),
    ],
    words.activate.start(named, canal.toUpperCase()),
  );
}

/** The announced act, as planned; a caution or a hold waits for the person. */
export async function doNext(chair: Chair, act: PlannedAct): Promise<void> {
  if (act.act === "irrigate" && act.contents !== null && !act.onFile) {
    const held = chair.hand.peek();
    const syringe = chair.rack
      .peek()
      .find((one) => nextFor({ ...chair.plan.peek(), acts: [act] }, one.contents) !== null);
    if (syringe === undefined) {
      chair.sheet.value = { sheet: "new_syringe" };
      return;
    }
    if (held?.syringe.syringe !== syringe.syringe) return pick(chair, syringe);
    const bench = benchOf(chair);
    if (bench === null) return;
    return giveNow(
      chair,
      held,
      act.site,
      usualAmounts(bench.record, act, syringe.syringe, act.site),
    );
  }
  await doOther(chair, act);
}

async function doOther(chair: Chair, act: PlannedAct): Promise<void> {
  switch (act.act) {
    case "irrigate":
      return coat(chair, act);
    case "instrument":
      if (act.size === null) {
        chair.tool.value = {
          tool: "file",
          size: 25,
          taperUmPerMm: act.taperUmPerMm ?? 60,
          motion: act.motion ?? "rotary",
          shortUm: 0,
          onFile: null,
        };
        return;
      }
      return useTool(
        chair,
        {
          tool: "file",
          size: act.size,
          taperUmPerMm: act.taperUmPerMm ?? 20,
          motion: act.motion ?? "hand",
          shortUm: 0,
          onFile: null,
        },
        act.site,
      );
    case "recapitulate":
      return useTool(chair, { tool: "recapitulate", size: act.size ?? 10 }, act.site);
    case "activate":
      return toggleActivation(chair, act.site, act.activation ?? "ultrasonic");
    case "remove":
      return useTool(chair, { tool: "remove", by: act.by ?? "points", dry: null }, act.site);
    case "check":
      return useTool(
        chair,
        { tool: "check", what: act.check ?? "patency", result: null },
        act.site,
      );
    case "wait":
      await logTap(
        chair,
        [{ kind: "step_done", step: act.step, cycle: act.cycle, canal: act.site }],
        act.step,
      );
      return;
    case "dress":
      await logTap(
        chair,
        [{ kind: "dressing_placed", site: act.site, material: act.material ?? "unknown" }],
        words.dress.dress,
      );
      return;
    case "fill":
      await logTap(
        chair,
        [{ kind: "canal_filled", site: act.site, material: act.material ?? "unknown" }],
        words.dress.fill,
      );
      return;
  }
}

/** The plan's gel on a file; how far the file goes is not known until it has gone. */
async function coat(chair: Chair, act: PlannedAct): Promise<void> {
  const bench = benchOf(chair);
  if (bench === null || act.contents === null) return;
  const step = giveOnFile(bench, onFile(act.contents), act.site, act.tipUm);
  if (step.delivery === null) return hold(chair, step);
  const text = words.next.on_file(markOf(act.contents, entriesOf(chair)).short);
  await logTap(chair, step.drafts, actText(text, "", act.site));
}

/** A check with its result, or points with how dry the last one came out. */
export async function doWithResult(chair: Chair, act: PlannedAct, result: string): Promise<void> {
  if (act.act === "check" && act.check !== null) {
    return useTool(chair, { tool: "check", what: act.check, result }, act.site);
  }
  const dry = (["yes", "no", "blood", "exudate"] as const).find((one) => one === result) ?? null;
  return useTool(chair, { tool: "remove", by: "points", dry }, act.site);
}

/** Everybody stops. What runs in the canals runs on; the reason may come later. */
export async function stop(chair: Chair): Promise<void> {
  putBack(chair);
  await log(chair.visit, { kind: "treatment_stopped" });
}

export async function resume(chair: Chair, isolation: boolean): Promise<void> {
  chair.sheet.value = null;
  const check: Draft[] = isolation
    ? [{ kind: "check_done", what: "isolation", result: words.check.results.isolation[0] ?? null }]
    : [];
  await log(chair.visit, { kind: "treatment_resumed" }, ...check);
}

/** All syringes, the emptied ones too, for the sheet. */
export function everySyringe(chair: Chair): readonly Syringe[] {
  return chair.record.value === null ? [] : syringes(chair.record.value);
}
