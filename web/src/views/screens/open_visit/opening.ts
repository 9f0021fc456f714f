/** From what was prepared to the events of opening, and what still stands in the way. */

import { mgPerL, ms, ul, um } from "../../../core/quantities.ts";
import type { Component } from "../../../core/types.ts";
import { type Draft, newId } from "../../../store/commands";
import { words } from "../../../strings/open_visit";
import { contentsOf, strengthProblems } from "../../parts/typed_contents";
import type { CanalDraft, SyringeDraft, VisitDraft } from "./draft";

const LONGEST_LABEL = 120;

/** What has to be put right before the visit can open; empty = nothing. */
export function missing(draft: VisitDraft): readonly string[] {
  return [
    ...(draft.tooth === null ? [words.tooth.choose] : []),
    ...labelProblems(draft.label),
    ...(draft.room === null ? [words.room_missing] : []),
    ...(draft.kit === null ? [words.protocol.missing] : []),
    ...draft.syringes.flatMap(({ parts }) => parts.flatMap(strengthProblems)),
  ];
}

export function labelProblems(label: string): readonly string[] {
  const text = label.trim();
  if (text === "") return [words.label.missing];
  if (!text.isWellFormed()) return [words.label.half_character];
  const length = [...text].length;
  return length > LONGEST_LABEL ? [words.label.too_long(length)] : [];
}

/** The events of opening, in order: the visit, answers, canals, syringes. */
export function openingEvents(draft: VisitDraft): readonly Draft[] {
  const { tooth, room, kit } = draft;
  if (tooth === null || room === null || kit === null || missing(draft).length > 0) {
    throw new Error("the visit is not ready to open");
  }
  return [
    {
      kind: "visit_opened",
      course: draft.course ?? newId(),
      tooth,
      label: draft.label.trim(),
      room,
      kit,
      operator: draft.operator,
      canals: draft.canals.map((one) => one.canal),
      present_at_start: draft.leftIn.map((one) => ({
        site: one.site,
        contents: [
          { irrigant: one.irrigant, concentration_mg_per_l: strengthOf(one.concentrationMgPerL) },
        ],
        dressing: one.dressing,
        since_ms: one.sinceMs === null ? null : ms(one.sinceMs),
      })),
      training: draft.training,
    },
    ...Object.entries(draft.answers).map(
      ([question, answer]): Draft => ({ kind: "question_answered", question, answer }),
    ),
    ...draft.canals.filter(isKnown).map(canalSet),
    ...draft.syringes.map(syringePrepared),
  ];
}

/** The last instant of a use-by day where this device is; null while not noted. [ms] */
export function useByMs(day: string): number | null {
  const [year, month, date] = day.split("-").map(Number);
  if (year === undefined || month === undefined || date === undefined) return null;
  const next = new Date(year, month - 1, date + 1).getTime();
  return Number.isFinite(next) ? next - 1 : null;
}

function isKnown(canal: CanalDraft): boolean {
  const { workingLengthUm, orificeUm, apicalSize, taperUmPerMm, reference } = canal;
  const figures = [workingLengthUm, orificeUm, apicalSize, taperUmPerMm];
  const words = [reference.trim(), canal.name ?? "", canal.joins === null ? "" : canal.joins.canal];
  return figures.some((figure) => figure !== null) || words.some((word) => word !== "");
}

function canalSet(canal: CanalDraft): Draft {
  const length = canal.workingLengthUm;
  const orifice = canal.orificeUm;
  const reference = canal.reference.trim();
  return {
    kind: "canal_set",
    canal: canal.canal,
    state: length === null ? null : "length_set",
    orifice_um: orifice === null ? null : um(orifice),
    working_length_um: length === null ? null : um(length),
    apical_size: canal.apicalSize,
    taper_um_per_mm: canal.taperUmPerMm,
    reference_point: reference === "" ? null : reference,
    joins: canal.joins,
    name: canal.name,
  };
}

function syringePrepared(syringe: SyringeDraft): Draft {
  const useBy = useByMs(syringe.useBy);
  const lot = syringe.lot.trim();
  return {
    kind: "syringe_prepared",
    syringe: newId(),
    contents: contentsOf(syringe.parts),
    lot: lot === "" ? null : lot,
    use_by_ms: useBy === null ? null : ms(useBy),
    volume_ul: syringe.volumeUl === null ? null : ul(syringe.volumeUl),
    needle_gauge: syringe.gauge,
    needle_tip: syringe.tip,
  };
}

function strengthOf(amount: number | null): Component["concentration_mg_per_l"] {
  return amount === null ? null : mgPerL(amount);
}
