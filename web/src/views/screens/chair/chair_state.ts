/**
 * What stands at one chair: the record as signals, the hand, the chosen tool, the open sheet.
 *
 * Commands are in `giving.ts`, `tool_use.ts`, `next_act.ts` and `mending.ts`; a command logs one tap's
 * events in one go and then shows them, and nothing waits for the network.
 */

import { computed, type ReadonlySignal, type Signal, signal } from "@preact/signals";
import { guard } from "../../../core/guard.ts";
import type { Kit, Mix, VisitRecord } from "../../../core/types.ts";
import { type Draft, log, newId } from "../../../store/commands";
import { exactNow } from "../../../store/now";
import { kitOfVisit, recordOf } from "../../../store/records";
import type { Logged } from "../../../store/shapes";
import type { Entry } from "../../canal/marks";
import type { Bench, Hand } from "./hand";
import { type PlanView, planView } from "./plan_view";
import { rack, type Syringe, syringes } from "./rack";
import { slide } from "./slide";
import { type LastLogged, lastLogged } from "./undo";

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
      /** Announced by the plan: after one act the syringes come back. */
      readonly once?: boolean;
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
  | { readonly sheet: "protocol" }
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
  slide(drafts);
  const logged = await log(chair.visit, ...drafts);
  const last = lastLogged(text, logged, exactNow());
  if (last !== null) chair.last.value = last;
  return logged;
}

/** Marks and titles by the visit's kit; none while it is not on this device. */
export function entriesOf(chair: Chair): readonly Entry[] {
  return chair.kit.value?.catalogue.irrigants ?? [];
}

/** All syringes, the emptied ones too, for the sheet. */
export function everySyringe(chair: Chair): readonly Syringe[] {
  return chair.record.value === null ? [] : syringes(chair.record.value);
}
