/** What the sheet is asked for: from a visit that is being opened, or from one on record. */

import type { Kit, VisitRecord } from "../../../core/types.ts";
import type { VisitDraft } from "../open_visit/draft";
import type { CanalKnown, NeedleHad, NeedleTip, SetOutAsked } from "./shapes";

/** From the opening's draft; null while protocol or canals are missing. */
export function askedOfDraft(draft: VisitDraft, kit: Kit | null): SetOutAsked | null {
  if (draft.kit === null || kit?.protocol == null || draft.canals.length === 0) return null;
  return asked(
    draft.kit,
    draft.canals.map((one) => ({
      canal: one.canal,
      orifice_um: one.orificeUm,
      working_length_um: one.workingLengthUm,
      apical_size: one.apicalSize,
      taper_um_per_mm: one.taperUmPerMm,
    })),
    visitNumber(
      kit,
      draft.leftIn.some((one) => one.dressing),
    ),
    draft.syringes.map((one) => ({ needle_gauge: one.gauge, needle_tip: one.tip })),
  );
}

/** From the record of a visit; null without a protocol. */
export function askedOfRecord(
  digest: string | null,
  kit: Kit | null,
  record: VisitRecord | null,
): SetOutAsked | null {
  if (digest === null || kit?.protocol == null || record === null) return null;
  const dressed = record.opened?.present_at_start.some((left) => left.dressing) ?? false;
  return asked(
    digest,
    record.canals.map((one) => ({
      canal: one.canal,
      orifice_um: one.orifice_um,
      working_length_um: one.working_length_um,
      apical_size: one.apical_size,
      taper_um_per_mm: one.taper_um_per_mm,
    })),
    visitNumber(kit, dressed),
    record.standing.filter((event) => event.kind === "syringe_prepared"),
  );
}

function asked(
  kit: string,
  canals: readonly CanalKnown[],
  visit: number,
  syringes: readonly {
    readonly needle_gauge: number | null;
    readonly needle_tip: NeedleTip | null;
  }[],
): SetOutAsked {
  const needles = needlesOf(syringes);
  return { kit, canals, visit, ...(needles.length === 0 ? {} : { needles }) };
}

/** Each needle once; one of which gauge or tip is not known is left out. */
function needlesOf(
  syringes: readonly {
    readonly needle_gauge: number | null;
    readonly needle_tip: NeedleTip | null;
  }[],
): readonly NeedleHad[] {
  const found = new Map<string, NeedleHad>();
  for (const { needle_gauge, needle_tip } of syringes) {
    if (needle_gauge === null || needle_tip === null) continue;
    found.set(`${needle_gauge} ${needle_tip}`, { needle_gauge, needle_tip });
  }
  return [...found.values()];
}

/** Which of the protocol's visits: as far as a dressing left in tells. */
function visitNumber(kit: Kit, dressed: boolean): number {
  return dressed ? Math.min(2, kit.protocol?.case.visits ?? 1) : 1;
}
