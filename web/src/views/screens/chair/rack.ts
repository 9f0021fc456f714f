/**
 * The syringes at the chair: what each holds and about how much is left in it.
 */

import type { AnyEvent, Mix, SyringePrepared, VisitRecord } from "../../../core/types";

export interface Syringe {
  readonly syringe: string;
  readonly contents: Mix;
  readonly lot: string | null;
  readonly useByMs: number | null;
  readonly needleGauge: number | null;
  readonly needleTip: SyringePrepared["needle_tip"];
  /** Last known level less what was recorded since; null = not known. [µL] */
  readonly leftUl: number | null;
  /** True when nothing but recorded amounts was subtracted since the barrel was last read. */
  readonly about: boolean;
  readonly gone: "emptied" | "discarded" | null;
  /** Not a syringe at all: put on a file. */
  readonly by?: "on_file";
}

/** What is put on a file, held like a syringe so that the guard and its holds treat it alike. */
export function onFile(contents: Mix): Syringe {
  return {
    syringe: "",
    contents,
    lot: null,
    useByMs: null,
    needleGauge: null,
    needleTip: null,
    leftUl: null,
    about: false,
    gone: null,
    by: "on_file",
  };
}

/** All syringes of a visit in the order they were prepared. */
export function syringes(record: VisitRecord): readonly Syringe[] {
  const prepared = record.standing.filter((event) => event.kind === "syringe_prepared");
  const last = new Map(prepared.map((event) => [event.syringe, event]));
  return [...last.values()].map((event) => syringeOf(event, record.standing));
}

/** Those that can be picked up. */
export function rack(record: VisitRecord): readonly Syringe[] {
  return syringes(record).filter((syringe) => syringe.gone === null);
}

function syringeOf(prepared: SyringePrepared, events: readonly AnyEvent[]): Syringe {
  let leftUl: number | null = prepared.volume_ul;
  let about = false;
  let gone: Syringe["gone"] = null;
  for (const event of events.slice(events.indexOf(prepared) + 1)) {
    if (event.kind === "irrigant_delivered" && event.syringe === prepared.syringe) {
      leftUl = leftUl === null || event.volume_ul === null ? null : leftUl - event.volume_ul;
      about = true;
    }
    if (event.kind === "syringe_read" && event.syringe === prepared.syringe) {
      about = false;
      if (event.emptied) leftUl = 0;
      else if (event.left_ul !== null) leftUl = event.left_ul;
      if (event.discarded) gone = "discarded";
      else if (event.emptied) gone = "emptied";
    }
  }
  return {
    syringe: prepared.syringe,
    contents: prepared.contents,
    lot: prepared.lot,
    useByMs: prepared.use_by_ms,
    needleGauge: prepared.needle_gauge,
    needleTip: prepared.needle_tip,
    leftUl: leftUl === null ? null : Math.max(0, leftUl),
    about,
    gone,
  };
}
