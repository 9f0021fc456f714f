/** The plan's next act: one tap does it as planned, a second press leaves it out with a reason. */

import type { JSX } from "preact";
import { words } from "../../../strings/chair";
import type { Entry } from "../../canal/marks";
import type { PlanView } from "./plan_view";
import type { PlannedAct } from "./planned";
import { Press } from "./press";
import { plannedText, siteText } from "./texts";

interface NextRowProps {
  readonly plan: PlanView;
  readonly entries: readonly Entry[];
  /** An activation that runs now is the next thing to end. */
  readonly running: { readonly canal: string; readonly text: string } | null;
  readonly onDo: (act: PlannedAct) => void;
  readonly onStopActivation: (canal: string) => void;
  readonly onSkip: () => void;
}

export function NextRow(props: NextRowProps): JSX.Element {
  const { plan, running } = props;
  const { next, orNext } = plan;
  if (running !== null) {
    return (
      <div class="cc-next">
        <Press
          class="cc-next-do"
          onPress={() => props.onStopActivation(running.canal)}
          testid="next"
        >
          <span class="cc-next-title">{words.next.now}</span>
          <span>{running.text}</span>
        </Press>
      </div>
    );
  }
  if (next === null) {
    return (
      <p class="cc-next cc-next-none">{plan.asked ? words.next.none : words.next.no_protocol}</p>
    );
  }
  return (
    <div class="cc-next">
      <Press class="cc-next-do" onPress={() => props.onDo(next)} testid="next">
        <span class="cc-next-title">
          {words.next.title} {siteText(next.site)}
        </span>
        <span>{plannedText(next, props.entries)}</span>
      </Press>
      {orNext !== null && (
        <Press class="cc-next-or" onPress={() => props.onDo(orNext)}>
          {words.next.or(plannedText(orNext, props.entries))}
        </Press>
      )}
      <Press class="cc-next-skip" onPress={props.onSkip} label={words.next.skip}>
        {words.next.skip}
      </Press>
    </div>
  );
}
