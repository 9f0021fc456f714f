/** Declares an incident at once, without a question; what it was comes after. */

import { ms } from "../../../core/quantities.ts";
import type { VisitRecord } from "../../../core/types.ts";
import { log } from "../../../store/commands";
import { exactNow } from "../../../store/now";
import { declaredIncident, firstSignMs } from "./incident_model";

/** What an incident is called before anybody has said what it was. */
export const NOT_SAID_YET = "not_said_yet";

/** A declared incident of this visit is opened again, not declared twice. */
export async function declareIncident(visit: string, record: VisitRecord): Promise<void> {
  if (declaredIncident(record) !== null) return;
  await log(visit, {
    kind: "incident_declared",
    what: NOT_SAID_YET,
    first_sign_at_ms: ms(firstSignMs(record, exactNow())),
  });
}
