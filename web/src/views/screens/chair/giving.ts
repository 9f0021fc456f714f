/** Picking up, giving, again and the cycle: what a syringe's two taps do at a chair. */

import { batch } from "@preact/signals";
import { type Draft, newId } from "../../../store/commands";
import { exactNow } from "../../../store/now";
import { words } from "../../../strings/chair";
import { volumeText } from "../../canal/amounts";
import { markOf } from "../../canal/marks";
import { benchOf, type Chair, entriesOf, logTap } from "./chair_state";
import { type Amounts, give, type Hand, pickUp, release, type Step } from "./hand";
import { nextFor } from "./plan_view";
import type { Syringe } from "./rack";
import { actText } from "./texts";
import { timersOf } from "./timers_of";
import { useTool } from "./tool_use";
import { lastDelivery, usualAmounts } from "./usual";

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

export async function giveNow(
  chair: Chair,
  hand: Hand,
  site: string,
  amounts: Amounts,
): Promise<void> {
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
