/**
 * What is being prepared before a visit opens, kept through a reload of the page until it is opened.
 *
 * Nothing here is guessed: lengths, sizes, volumes and answers stay unknown until someone gives them.
 */

import { type Signal, signal } from "@preact/signals";
import type { Component, Join, SyringePrepared } from "../../../core/types.ts";
import { suggestionFor } from "../../../store/anatomy";
import type { PartDraft } from "../../parts/typed_contents";

export type NeedleTip = NonNullable<SyringePrepared["needle_tip"]>;
export type Answer = "yes" | "no" | "unknown";

export interface CanalDraft {
  readonly canal: string;
  readonly workingLengthUm: number | null;
  readonly orificeUm: number | null;
  readonly apicalSize: number | null;
  readonly taperUmPerMm: number | null;
  readonly reference: string;
  /** These two hold for the whole course; carried over, not asked here. */
  readonly name: string | null;
  readonly joins: Join | null;
}

export interface LeftInDraft {
  readonly site: string;
  readonly irrigant: string;
  readonly concentrationMgPerL: number | null;
  readonly dressing: boolean;
  readonly sinceMs: number | null;
  readonly carried: boolean;
}

export interface SyringeDraft {
  readonly key: string;
  readonly parts: readonly PartDraft[];
  readonly volumeUl: number | null;
  readonly gauge: number | null;
  readonly tip: NeedleTip | null;
  readonly lot: string;
  /** A day as the browser's date field gives it, YYYY-MM-DD, or empty. */
  readonly useBy: string;
}

export interface VisitDraft {
  readonly course: string | null;
  readonly carriedFrom: string | null;
  readonly tooth: string | null;
  readonly primary: boolean;
  readonly label: string;
  readonly room: string | null;
  readonly operator: string | null;
  readonly training: boolean;
  readonly canals: readonly CanalDraft[];
  readonly kit: string | null;
  readonly answers: { readonly [question: string]: Answer };
  readonly leftIn: readonly LeftInDraft[];
  readonly syringes: readonly SyringeDraft[];
  /** The kit whose solutions the syringes were laid out from. */
  readonly laidOutFrom: string | null;
}

export const EMPTY: VisitDraft = {
  course: null,
  carriedFrom: null,
  tooth: null,
  primary: false,
  label: "",
  room: null,
  operator: null,
  training: false,
  canals: [],
  kit: null,
  answers: {},
  leftIn: [],
  syringes: [],
  laidOutFrom: null,
};

const KEPT_AS = "canalclock-opening";

export const draft: Signal<VisitDraft> = signal(kept());

export function change(part: Partial<VisitDraft>): void {
  draft.value = { ...draft.value, ...part };
  try {
    sessionStorage.setItem(KEPT_AS, JSON.stringify(draft.value));
  } catch {
    // only a reload would lose it
  }
}

export function clearDraft(): void {
  change(EMPTY);
}

export function canalDraft(canal: string): CanalDraft {
  return {
    canal,
    workingLengthUm: null,
    orificeUm: null,
    apicalSize: null,
    taperUmPerMm: null,
    reference: "",
    name: null,
    joins: null,
  };
}

/** Choose the tooth: its usual canals are suggested anew, those of another tooth go. */
export function chooseTooth(tooth: string): void {
  if (tooth === draft.value.tooth) return;
  change({ tooth, canals: (suggestionFor(tooth)?.canals ?? []).map(canalDraft), leftIn: [] });
}

export function changeCanal(canal: string, part: Partial<CanalDraft>): void {
  const canals = draft.value.canals.map((one) => (one.canal === canal ? { ...one, ...part } : one));
  change({ canals });
}

export function changeSyringe(key: string, part: Partial<SyringeDraft>): void {
  const syringes = draft.value.syringes.map((one) => (one.key === key ? { ...one, ...part } : one));
  change({ syringes });
}

/** One syringe to fill with some contents; how much, with what needle and of which lot is not known yet. */
export function syringeDraft(key: string, contents: readonly Component[]): SyringeDraft {
  return {
    key,
    parts: contents.map((part) => ({
      irrigant: part.irrigant,
      strength: strengthTyped(part.concentration_mg_per_l),
    })),
    volumeUl: null,
    gauge: null,
    tip: null,
    lot: "",
    useBy: "",
  };
}

/** mg/L as the % w/v someone would type: 52500 -> "5.25"; unknown is empty. */
export function strengthTyped(mgPerL: number | null): string {
  if (mgPerL === null) return "";
  const whole = Math.floor(mgPerL / 10_000);
  const rest = String(mgPerL % 10_000)
    .padStart(4, "0")
    .replace(/0+$/, "");
  return rest === "" ? String(whole) : `${whole}.${rest}`;
}

function kept(): VisitDraft {
  try {
    const text = globalThis.sessionStorage?.getItem(KEPT_AS);
    return text ? { ...EMPTY, ...(JSON.parse(text) as Partial<VisitDraft>) } : EMPTY;
  } catch {
    return EMPTY;
  }
}
