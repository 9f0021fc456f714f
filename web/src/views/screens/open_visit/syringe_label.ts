/**
 * The text of a syringe's label: full name, strength with its basis, what it is not, quantity, when it was
 * prepared, use-by, lot. What is not known says so.
 *
 * Source: The Joint Commission, National Patient Safety Goal 03.04.01 (label content); ISMP, List of
 * Error-Prone Abbreviations, Symbols, and Dose Designations (spelling of amounts).
 */

import type { IrrigantEntry } from "../../../core/types.ts";
import { zone } from "../../../store/clinic";
import { words } from "../../../strings/open_visit";
import { strengthText, timeOfDayText, volumeText } from "../../canal/amounts";
import { contentsOf } from "../../parts/typed_contents";
import type { SyringeDraft } from "./draft";

export function nameOf(syringe: SyringeDraft, catalogue: readonly IrrigantEntry[]): string {
  return contentsOf(syringe.parts)
    .map((part) => catalogue.find((one) => one.irrigant === part.irrigant)?.title ?? part.irrigant)
    .join(` ${words.syringes.plus} `);
}

export function labelLines(
  syringe: SyringeDraft,
  catalogue: readonly IrrigantEntry[],
  nowMs: number,
): readonly string[] {
  const text = words.syringes;
  const prepared = `${dayText(nowMs)} ${timeOfDayText(nowMs, zone.value).slice(0, 5)}`;
  return [
    ...contentsOf(syringe.parts).map((part) => {
      const entry = catalogue.find((one) => one.irrigant === part.irrigant);
      return `${entry?.title ?? part.irrigant} ${strengthLine(part.concentration_mg_per_l, entry)}`.trim();
    }),
    text.not_for_injection,
    ...(hasHypochlorite(syringe, catalogue) ? [text.never_with] : []),
    syringe.volumeUl === null ? text.quantity_unknown : volumeText(syringe.volumeUl),
    text.prepared(prepared),
    syringe.useBy === "" ? text.use_by_unknown : text.use_by_line(syringe.useBy),
    syringe.lot.trim() === "" ? text.lot_unknown : text.lot_line(syringe.lot.trim()),
  ];
}

function hasHypochlorite(syringe: SyringeDraft, catalogue: readonly IrrigantEntry[]): boolean {
  return syringe.parts.some(
    (part) => catalogue.find((one) => one.irrigant === part.irrigant)?.kind === "hypochlorite",
  );
}

function strengthLine(mgPerL: number | null, entry: IrrigantEntry | undefined): string {
  if (mgPerL !== null) return `${strengthText(mgPerL)} (w/v)`;
  const hasNone = entry?.kind === "rinse" || entry?.kind === "unknown";
  return hasNone ? "" : words.syringes.strength_unknown;
}

function dayText(atMs: number): string {
  return new Intl.DateTimeFormat("en-CA", { timeZone: zone.value }).format(atMs);
}
