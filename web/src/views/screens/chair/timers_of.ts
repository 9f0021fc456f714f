/** The timers that an act of the plan sets: until what is asked, and until the clinic's limit. */

import { ms } from "../../../core/quantities";
import type { Draft } from "../../../store/commands";
import type { PlannedAct } from "./planned";

/** Ending of a limit's step name, so that it does not replace the timer of the same step's minimum. */
export const LIMIT_SUFFIX = ".limit";

/**
 * Timers that run from an act logged at an instant.
 *
 * A delivery's contact and limit run from its end, an activation's time from its start.
 */
export function timersOf(
  planned: PlannedAct | null,
  event: string,
  atMs: number,
): readonly Draft[] {
  if (planned === null || planned.site === "chamber") return [];
  const { site, step, cycle } = planned;
  const asked = planned.act === "activate" ? planned.durationMs : planned.contactMs;
  const drafts: Draft[] = [];
  if (asked !== null) {
    drafts.push({
      kind: "timer_set",
      timer: { canal: site, step, cycle },
      runs_from: event,
      due_at_ms: ms(atMs + asked),
      upper_limit: false,
    });
  }
  if (planned.act === "irrigate" && planned.contactLimitMs !== null) {
    drafts.push({
      kind: "timer_set",
      timer: { canal: site, step: `${step}${LIMIT_SUFFIX}`, cycle },
      runs_from: event,
      due_at_ms: ms(atMs + planned.contactLimitMs),
      upper_limit: true,
    });
  }
  return drafts;
}
