/** One of a few, each a press; the chosen one is marked by form and word, not by colour alone. */

import type { JSX } from "preact";
import { Press } from "./press";

interface ChoiceProps<Value extends string | number> {
  readonly what: string;
  readonly options: readonly (readonly [Value, string])[];
  readonly value: Value | null;
  readonly onChoose: (value: Value) => void;
  readonly row?: boolean;
}

export function Choice<Value extends string | number>(props: ChoiceProps<Value>): JSX.Element {
  return (
    <fieldset class={props.row ? "cc-choice cc-choice-row" : "cc-choice"}>
      <legend>{props.what}</legend>
      <div class="cc-options">
        {props.options.map(([value, text]) => (
          <Press
            key={value}
            class="cc-option"
            pressed={value === props.value}
            onPress={() => props.onChoose(value)}
            repeats
          >
            {text}
          </Press>
        ))}
      </div>
    </fieldset>
  );
}
