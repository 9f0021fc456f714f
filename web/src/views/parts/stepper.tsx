/** A number that gloves can change: less, the reading, more. Null is unknown and comes first. */

import "../style/forms.css";
import type { JSX } from "preact";
import { words } from "../../strings/shell";

export interface StepperProps {
  readonly label: string;
  readonly value: number | null;
  readonly step: number;
  readonly least: number;
  readonly most: number;
  /** Where the first press on an unknown value leads. */
  readonly start: number;
  readonly text: (value: number) => string;
  /** Word shown while unknown. */
  readonly unknown?: string;
  /** Whether going below the least comes back to unknown. */
  readonly mayBeUnknown?: boolean;
  readonly onChange: (value: number | null) => void;
}

export function Stepper(props: StepperProps): JSX.Element {
  const { label, value, step, least, most, start, text, onChange } = props;
  const unknownWord = props.unknown ?? words.unknown;
  const less = (): void => {
    if (value === null) onChange(start);
    else if (value - step >= least) onChange(value - step);
    else if (props.mayBeUnknown === true) onChange(null);
  };
  const more = (): void => onChange(value === null ? start : Math.min(most, value + step));
  const atLeast = value !== null && value - step < least && props.mayBeUnknown !== true;
  return (
    <fieldset class="stepper" aria-label={label}>
      <button type="button" aria-label={words.less(label)} disabled={atLeast} onClick={less}>
        −
      </button>
      <output class={value === null ? "reading is-unknown" : "reading"} aria-live="polite">
        {value === null ? unknownWord : text(value)}
      </output>
      <button
        type="button"
        aria-label={words.more(label)}
        disabled={value !== null && value >= most}
        onClick={more}
      >
        +
      </button>
    </fieldset>
  );
}
