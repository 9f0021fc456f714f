/** One wide Stop, always there, and the incident beside it. */

import type { JSX } from "preact";
import { now } from "../../../store/now";
import { words } from "../../../strings/chair";
import { elapsedText } from "../../canal/amounts";
import { Press } from "./press";

interface StopBarProps {
  readonly stoppedSinceMs: number | null;
  readonly onStop: () => void;
  readonly onResume: () => void;
  readonly onIncident: () => void;
}

export function StopBar(props: StopBarProps): JSX.Element {
  const { stoppedSinceMs } = props;
  return (
    <div class="cc-stop-bar">
      {stoppedSinceMs === null ? (
        <Press class="cc-stop" onPress={props.onStop} testid="stop">
          {words.stop}
        </Press>
      ) : (
        <Press class="cc-stop cc-stop-on" onPress={props.onResume} testid="resume">
          <span>{words.stopped_since(elapsedText(now.value - stoppedSinceMs))}</span>
          <b>{words.resume}</b>
        </Press>
      )}
      <Press class="cc-incident" onPress={props.onIncident} testid="incident">
        {words.incident}
      </Press>
    </div>
  );
}
