/** The plan as the chair reads it: the acts still open, the next one, how many each canal has left. */

import type { Kit, Mix, VisitRecord } from "../../../core/types";
import { sameContents } from "../../canal/marks";
import type { PlannedAct } from "./planned";

export interface PlanView {
  /** False without a protocol: then nothing is asked, and the chair only logs. */
  readonly asked: boolean;
  /** Acts not done and not left out, in the order of the plan. */
  readonly acts: readonly PlannedAct[];
  readonly next: PlannedAct | null;
  /** Acts left for each canal. */
  readonly left: ReadonlyMap<string, number>;
  /** Size of the small hand file that goes back to length, if the protocol names one. */
  readonly recapitulateSize: number | null;
}

const NONE: PlanView = {
  asked: false,
  acts: [],
  next: null,
  left: new Map(),
  recapitulateSize: null,
};

export function planView(kit: Kit | null, record: VisitRecord | null): PlanView {
  if (kit?.protocol == null || record === null) return NONE;
  return NONE;
}

/** The first open delivery of some contents, at a site if one is named. */
export function nextFor(
  plan: PlanView,
  contents: Mix,
  site: string | null = null,
): PlannedAct | null {
  return (
    plan.acts.find(
      (act) =>
        act.act === "irrigate" &&
        !act.onFile &&
        act.contents !== null &&
        sameContents(act.contents, contents) &&
        (site === null || act.site === site),
    ) ?? null
  );
}
