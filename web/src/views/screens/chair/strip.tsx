/**
 * The strip where the guard speaks: above the canals, never over them.
 *
 * A note is one quiet line with an i, a caution an outlined band with a triangle, a hold a solid
 * band with an octagon, the sites it names and two answers. Form and word carry the level.
 */

import type { ComponentChildren, JSX } from "preact";
import { useState } from "preact/hooks";
import type { Warning } from "../../../core/types";
import { words } from "../../../strings/chair";
import type { Entry } from "../../canal/marks";
import { Band } from "../../parts/bands";
import { isHeld, type Spoken, worst } from "./hand";
import { Press } from "./press";
import { sitesText, warningText } from "./texts";

interface StripProps {
  readonly spoken: readonly Spoken[];
  readonly available: boolean;
  readonly entries: readonly Entry[];
  readonly asOf: string | null;
  readonly quiet: ComponentChildren;
  readonly dentists: readonly { readonly staff: string; readonly title: string }[];
  readonly onPutBack: () => void;
  readonly onRelease: (orderedBy: string, reason: string) => void;
}

export function Strip(props: StripProps): JSX.Element {
  const held = props.spoken.filter(isHeld);
  const level =
    held.length > 0
      ? "hold"
      : worst(props.spoken.filter((one) => !one.released).map((one) => one.warning.level));
  const heldKey = held.map((one) => one.event).join(" ");
  const answers = (
    <HoldAnswers
      key={heldKey}
      dentists={props.dentists}
      onPutBack={props.onPutBack}
      onRelease={props.onRelease}
    />
  );
  return (
    <section class="cc-strip" aria-live={level === "hold" ? "assertive" : "polite"}>
      {!props.available && <Band level="note" word={words.speak.unavailable} />}
      {level === null && props.available && <div class="cc-quiet">{props.quiet}</div>}
      {level !== null && (
        <Band level={level} word={words.speak[level]} {...(level === "hold" ? { answers } : {})}>
          {props.spoken
            .filter((one) => one.warning.level === level && !one.released)
            .map((one) => (
              <Said key={one.event} warning={one.warning} entries={props.entries} />
            ))}
        </Band>
      )}
      {props.asOf !== null && <p class="cc-as-of">{props.asOf}</p>}
    </section>
  );
}

function Said(props: {
  readonly warning: Warning;
  readonly entries: readonly Entry[];
}): JSX.Element {
  const { warning, entries } = props;
  return (
    <p>
      {warningText(warning, entries)}{" "}
      {warning.sites.length > 0 && <b>{words.speak.at(sitesText(warning.sites))}</b>}
      {warning.basis === "reasoned" && <em> {words.speak.no_published_data}</em>}
    </p>
  );
}

/** Put it back, or let go: then who ordered it and why, one tap each. */
function HoldAnswers(props: {
  readonly dentists: StripProps["dentists"];
  readonly onPutBack: () => void;
  readonly onRelease: (orderedBy: string, reason: string) => void;
}): JSX.Element {
  const [stage, setStage] = useState<"ask" | "who" | "why">("ask");
  const [who, setWho] = useState("");
  const [free, setFree] = useState("");
  if (stage === "ask") {
    return (
      <div class="cc-answers">
        <Press class="cc-answer" onPress={props.onPutBack}>
          {words.speak.put_back}
        </Press>
        <Press class="cc-answer cc-answer-quiet" onPress={() => setStage("who")}>
          {words.speak.release}
        </Press>
      </div>
    );
  }
  if (stage === "who") {
    return (
      <fieldset class="cc-answers">
        <legend>{words.speak.who_ordered}</legend>
        {props.dentists.map((dentist) => (
          <Press
            key={dentist.staff}
            class="cc-answer"
            onPress={() => {
              setWho(dentist.staff);
              setStage("why");
            }}
          >
            {dentist.title}
          </Press>
        ))}
      </fieldset>
    );
  }
  return (
    <fieldset class="cc-answers">
      <legend>{words.speak.why}</legend>
      {Object.entries(words.speak.reasons).map(([key, reason]) => (
        <Press key={key} class="cc-answer" onPress={() => props.onRelease(who, reason)}>
          {reason}
        </Press>
      ))}
      <form
        class="cc-free"
        onSubmit={(event) => {
          event.preventDefault();
          if (free.trim() !== "") props.onRelease(who, free.trim());
        }}
      >
        <input
          aria-label={words.speak.why_free}
          placeholder={words.speak.why_free}
          maxLength={400}
          value={free}
          onInput={(event) => setFree(event.currentTarget.value)}
        />
      </form>
    </fieldset>
  );
}
