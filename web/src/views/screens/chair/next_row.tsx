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
  /** A check or a removal is done with what it showed, in the same tap. */
  readonly onResult: (act: PlannedAct, result: string) => void;
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
      <NextAct act={next} {...props} />
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

/** One press; or, where the act has an outcome, one press for each outcome. */
function NextAct(props: NextRowProps & { readonly act: PlannedAct }): JSX.Element {
  const { act } = props;
  const title = (
    <span class="cc-next-title">
      {words.next.title} {siteText(act.site)}
    </span>
  );
  const outcomes = outcomesOf(act);
  if (outcomes.length === 0) {
    return (
      <Press class="cc-next-do" onPress={() => props.onDo(act)} testid="next">
        {title}
        <span>{plannedText(act, props.entries)}</span>
      </Press>
    );
  }
  return (
    <fieldset class="cc-next-outcomes">
      <legend>
        {title} {plannedText(act, props.entries)}
      </legend>
      {outcomes.map(([outcome, text]) => (
        <Press
          key={`${act.site} ${outcome}`}
          class="cc-outcome"
          testid={`outcome-${outcome}`}
          onPress={() => props.onResult(act, outcome)}
        >
          {text}
        </Press>
      ))}
    </fieldset>
  );
}

function outcomesOf(act: PlannedAct): readonly (readonly [string, string])[] {
  if (act.act === "check" && act.check !== null) {
    return words.check.results[act.check].map((result) => [result, result] as const);
  }
  if (act.act === "remove" && act.by === "points") return Object.entries(words.remove.dry);
  return [];
}
