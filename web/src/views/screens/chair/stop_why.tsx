/** Why it was stopped, asked while it is: one tap, and it may be left out. */

import type { JSX } from "preact";
import { log } from "../../../store/commands";
import { words } from "../../../strings/chair";
import type { Chair } from "./chair_state";
import { Press } from "./press";
import { payloadOf } from "./undo";

const own = words.stop_why;

export function StopWhy(props: {
  readonly chair: Chair;
  readonly onFailure: (failure: unknown) => void;
}): JSX.Element | null {
  const { chair, onFailure } = props;
  const record = chair.record.value;
  const stop = record?.standing.findLast((event) => event.kind === "treatment_stopped");
  if (stop?.kind !== "treatment_stopped") return null;
  if (stop.reason !== null) return <>{own.given(stop.reason)}</>;
  const replaces = record?.versions.find((one) => one.entry === stop.id)?.stands ?? stop.id;
  const say = (reason: string): void => {
    void log(chair.visit, {
      kind: "entry_corrected",
      entry: stop.id,
      replaces,
      reason: own.correction,
      payload: payloadOf({ ...stop }, { reason }),
    }).catch(onFailure);
  };
  return (
    <fieldset class="cc-choice cc-choice-row cc-stop-why">
      <legend>{own.ask}</legend>
      <div class="cc-options">
        {Object.entries(own.reasons).map(([key, reason]) => (
          <Press key={key} class="cc-option" onPress={() => say(reason)}>
            {reason}
          </Press>
        ))}
      </div>
    </fieldset>
  );
}
