/** Again, cycle, undo: the three things that one tap repeats or takes back. */

import type { JSX } from "preact";
import { now } from "../../../store/now";
import { words } from "../../../strings/chair";
import { canalText, sizeText, volumeText } from "../../canal/amounts";
import { type Entry, markOf } from "../../canal/marks";
import type { Chair } from "./chair_state";
import { again, againOf, cycle, cycleOf } from "./giving";
import { undo } from "./mending";
import { Press } from "./press";
import { siteText } from "./texts";
import { undoLeftMs } from "./undo";

interface ActsRowProps {
  readonly chair: Chair;
  readonly entries: readonly Entry[];
  readonly onFailure: (failure: unknown) => void;
}

export function ActsRow(props: ActsRowProps): JSX.Element {
  const { chair, entries, onFailure } = props;
  const what = againOf(chair);
  const round = cycleOf(chair);
  const last = chair.last.value;
  const leftMs = undoLeftMs(last, now.value);
  const amount = what?.amounts.volumeUl ?? null;
  return (
    <div class="cc-acts">
      <Press
        class="cc-act"
        disabled={what === null}
        testid="again"
        onPress={() => void again(chair).catch(onFailure)}
      >
        <b>{words.again}</b>
        {what !== null && (
          <small>
            {words.again_what(
              markOf(what.syringe.contents, entries).letter,
              amount === null ? words.rack.amount_unknown : volumeText(amount),
              siteText(what.site),
            )}
          </small>
        )}
      </Press>
      <Press
        class="cc-act"
        disabled={round === null}
        testid="cycle"
        onPress={() => void cycle(chair).catch(onFailure)}
        {...(round === null
          ? {}
          : { label: words.cycle_what(sizeText(round.size), canalText(round.canal)) })}
      >
        <b>{words.cycle}</b>
        {round !== null && (
          <small>
            {sizeText(round.size)} {canalText(round.canal)}
          </small>
        )}
      </Press>
      <Press
        class="cc-act"
        disabled={leftMs <= 0}
        testid="undo"
        onPress={() => void undo(chair).catch(onFailure)}
      >
        <b>{words.undo}</b>
        {leftMs > 0 && <small>{`${Math.ceil(leftMs / 1000)}\u00a0s`}</small>}
      </Press>
    </div>
  );
}
