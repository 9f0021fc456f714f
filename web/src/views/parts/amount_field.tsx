/** A figure that is typed: strictly read, its unit beside it, a refusal that says what was found. */

import "../style/forms.css";
import type { JSX } from "preact";
import { useId } from "preact/hooks";
import { bound } from "../../store/typed";
import { words } from "../../strings/open_visit";

export interface AmountFieldProps {
  readonly label: string;
  readonly unit: string;
  readonly text: string;
  /** Decimal digits down to the small unit. [] */
  readonly digits: number;
  readonly most?: number;
  readonly onText: (text: string) => void;
}

export function AmountField(props: AmountFieldProps): JSX.Element {
  const { label, unit, text, digits, most, onText } = props;
  const id = useId();
  const problem = amountProblem(text, digits, unit, most);
  return (
    <label class="field">
      <span>{label}</span>
      <span class="with-unit">
        <input
          class="entry"
          inputMode="decimal"
          autocomplete="off"
          maxLength={20}
          placeholder={words.canals.unknown_first}
          value={text}
          aria-invalid={problem !== null}
          aria-describedby={problem === null ? undefined : id}
          onInput={(event) => onText(event.currentTarget.value)}
        />
        <span class="unit">{unit}</span>
      </span>
      {problem === null ? null : (
        <span class="problem small" id={id} role="alert">
          {problem}
        </span>
      )}
    </label>
  );
}

/** What is wrong with a typed figure, in words; null = nothing. */
export function amountProblem(
  text: string,
  digits: number,
  unit: string,
  most?: number,
): string | null {
  const read = bound(text, digits, most);
  if (read.is !== "refused") return null;
  if (read.why === "comma") return words.amount.comma(text);
  if (read.why === "too_fine") return words.amount.too_fine(text, unit);
  if (read.why === "too_large") return words.amount.too_large(text, unit);
  return words.amount.not_a_number(text, unit);
}
