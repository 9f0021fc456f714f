/** What was just logged, in the strip, with its amount to be set right while it can be undone. */

import type { JSX } from "preact";
import { words } from "../../../strings/chair";
import { volumeText } from "../../canal/amounts";
import { Stepper } from "../../parts/stepper";
import type { Chair } from "./chair_state";
import { adjust } from "./mending";
import { adjustable } from "./undo";

export function JustLogged(props: {
  readonly chair: Chair;
  readonly onFailure: (failure: unknown) => void;
}): JSX.Element {
  const last = props.chair.last.value;
  const delivery = adjustable(last);
  const volume = delivery?.volume_ul;
  return (
    <span class="cc-just">
      <span>{words.logged(last?.text ?? "")}</span>
      {delivery !== null && typeof volume === "number" && (
        <Stepper
          label={words.rack.amount}
          value={volume}
          text={volumeText}
          step={500}
          least={0}
          most={50_000}
          start={1000}
          onChange={(volumeUl) => void adjust(props.chair, volumeUl ?? 0).catch(props.onFailure)}
        />
      )}
    </span>
  );
}
