/** Declares an incident at once, without a question; what it was comes after. */

import { ms } from "../../../core/quantities.ts";
import type { VisitRecord } from "../../../core/types.ts";
import { log } from "../../../store/commands";
import { exactNow } from "../../../store/now";
import { declaredIncident, firstSignMs } from "./incident_model";

/** What an incident is called before anybody has said what it was. */
export const NOT_SAID_YET = "not_said_yet";

const declaring = new Map<string, Promise<void>>();

/**
 * A declared incident of this visit is opened again, not declared twice: not by the button at the chair
 * and the card that it opens, either.
 */
export function declareIncident(visit: string, record: VisitRecord): Promise<void> {
  if (declaredIncident(record) !== null) return Promise.resolve();
  const running = declaring.get(visit);
  if (running !== undefined) return running;
  const made = log(visit, {
    kind: "incident_declared",
    what: NOT_SAID_YET,
    first_sign_at_ms: ms(firstSignMs(record, exactNow())),
  })
    .then(() => undefined)
    .finally(() => declaring.delete(visit));
  declaring.set(visit, made);
  return made;
}
