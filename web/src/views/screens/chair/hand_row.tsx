/** What is in the hand, before the tools: how much goes in at a tap, timed or as planned, put back. */

import type { JSX } from "preact";
import { now } from "../../../store/now";
import { words } from "../../../strings/chair";
import { elapsedText, volumeText } from "../../canal/amounts";
import { Stepper } from "../../parts/stepper";
import type { Chair } from "./chair_state";
import { amountsFor, putBack } from "./giving";
import { Press } from "./press";

const VOLUME_STEP_UL = 500;
const VOLUME_MOST_UL = 50_000;
const VOLUME_START_UL = 1000;

export function HandRow({ chair }: { readonly chair: Chair }): JSX.Element | null {
  const hand = chair.hand.value;
  if (hand === null) return null;
  const first = chair.record.value?.canals[0]?.canal ?? "chamber";
  const site = hand.site ?? chair.plan.value.next?.site ?? first;
  const amounts = amountsFor(chair, hand, site);
  const timing = chair.timing.value;
  return (
    <div class="cc-hand">
      <Stepper
        label={words.rack.amount}
        value={amounts.volumeUl}
        text={volumeText}
        unknown={words.rack.amount_unknown}
        step={VOLUME_STEP_UL}
        least={0}
        most={VOLUME_MOST_UL}
        start={VOLUME_START_UL}
        onChange={(volumeUl) => {
          chair.stepped.value = { volumeUl };
        }}
      />
      <Press class="cc-small" onPress={() => putBack(chair)} testid="put-back">
        {words.rack.put_back}
      </Press>
      <Press
        class="cc-small"
        repeats
        testid="time-it"
        pressed={chair.timeIt.value}
        onPress={() => {
          chair.timeIt.value = !chair.timeIt.value;
          chair.timing.value = null;
        }}
      >
        {timing === null ? words.rack.time_it : elapsedText(now.value - timing.fromMs)}
      </Press>
    </div>
  );
}
