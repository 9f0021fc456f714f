/** One of a few, all in sight. */

import "../style/forms.css";
import type { ComponentChildren, JSX } from "preact";
import { useId } from "preact/hooks";

export interface Option<Value extends string> {
  readonly value: Value;
  readonly text: ComponentChildren;
}

export interface ChoicesProps<Value extends string> {
  readonly label: string;
  readonly options: readonly Option<Value>[];
  /** Null: none is picked yet. */
  readonly value: Value | null;
  readonly onPick: (value: Value) => void;
}

export function Choices<Value extends string>(props: ChoicesProps<Value>): JSX.Element {
  const label = useId();
  return (
    <div class="field">
      <span id={label}>{props.label}</span>
      <fieldset class="choices" aria-labelledby={label}>
        {props.options.map((option) => (
          <button
            key={option.value}
            type="button"
            class="choice"
            aria-pressed={option.value === props.value}
            onClick={() => props.onPick(option.value)}
          >
            {option.text}
          </button>
        ))}
      </fieldset>
    </div>
  );
}
