/**
 * What the last appointment of the same tooth hands on: its canals as then known, what was left in them, and
 * an incident. A person sees all of it before the visit opens and may change it.
 */

import type { VisitRecord } from "../../../core/types.ts";
import { holdingOf } from "../../../store/holding";
import type { VisitRow } from "../../../store/shapes";
import type { CanalDraft, LeftInDraft, VisitDraft } from "./draft";

/** The latest visit of a course. */
export function latestOf(course: string, rows: readonly VisitRow[]): VisitRow | null {
  const own = rows.filter((row) => row.course === course);
  return own.toSorted((one, other) => other.opened_at_ms - one.opened_at_ms)[0] ?? null;
}

/** The part of a new visit that follows from the course's last one. */
export function carriedFrom(row: VisitRow, record: VisitRecord): Partial<VisitDraft> {
  const canals = record.canals.filter((one) => one.state !== "filled");
  return {
    course: row.course,
    carriedFrom: row.visit,
    tooth: row.tooth,
    primary: /^[5-8]/.test(row.tooth),
    label: row.label,
    training: row.training,
    kit: row.kit,
    canals: canals.map(
      (one): CanalDraft => ({
        canal: one.canal,
        workingLengthUm: one.working_length_um,
        orificeUm: one.orifice_um,
        apicalSize: one.apical_size,
        taperUmPerMm: one.taper_um_per_mm,
        reference: one.reference_point ?? "",
        name: one.name,
        joins: one.joins,
      }),
    ),
    leftIn: canals.flatMap((one) => leftInCanal(record, one.canal)),
    answers: hadIncident(record) ? { earlier_incident: "yes" } : {},
  };
}

function leftInCanal(record: VisitRecord, canal: string): readonly LeftInDraft[] {
  const dressed = record.standing
    .filter((event) => "site" in event && event.site === canal)
    .findLast((event) =>
      ["dressing_placed", "irrigant_delivered", "irrigant_removed", "canal_filled"].includes(
        event.kind,
      ),
    );
  if (dressed?.kind === "dressing_placed") {
    return [
      {
        site: canal,
        irrigant: dressed.material,
        concentrationMgPerL: null,
        dressing: true,
        sinceMs: dressed.occurred_at_ms,
        carried: true,
      },
    ];
  }
  const endMs = record.last_clinical_ms ?? record.closed_at_ms ?? 0;
  return holdingOf(record, canal, endMs).flatMap((held) =>
    held.contents.map((part) => ({
      site: canal,
      irrigant: part.irrigant,
      concentrationMgPerL: part.concentration_mg_per_l,
      dressing: held.dressing,
      sinceMs: held.since_ms,
      carried: true,
    })),
  );
}

function hadIncident(record: VisitRecord): boolean {
  return record.standing.some(
    (event) =>
      event.kind === "incident_declared" ||
      (event.kind === "question_answered" &&
        event.question === "earlier_incident" &&
        event.answer === "yes"),
  );
}
