/** One figure: less, typed, more, and its unit; what is wrong or asked is said beside it. */

import type { JSX } from "preact";
import { useId } from "preact/hooks";
import { words } from "../../../strings/calculators";
import { words as shell } from "../../../strings/shell";
import { confirmKey, type FieldState, stateOf } from "./asking";
import { type Calculator, type NumberField, stepped } from "./forms";
import { fieldLabel } from "./labels";
import { figureText, plainText, withUnit } from "./numbers";
import { confirm, defaultOf, typedOf } from "./state";

export interface FigureProps {
  readonly calculator: Calculator;
  readonly field: NumberField;
  readonly text: string;
  readonly onText: (text: string) => void;
  /** What the server refused of it. */
  readonly refused?: string | undefined;
  readonly label?: string;
}

export function Figure(props: FigureProps): JSX.Element {
  const { calculator, field, text, onText } = props;
  const id = useId();
  const label = props.label ?? fieldLabel(calculator, field.name);
  const state = stateOf(field, text, typedOf(calculator).confirmed);
  const step = (up: boolean): void => onText(plainText(stepped(field, currentOf(state), up)));
  const said = saidOf(field, text, state, props.refused);
  const stands = defaultOf(calculator, field.name);
  return (
    <div class="calc-figure">
      <label for={id}>
        {label}
        {field.optional && (
          <small class="soft">
            {stands === null
              ? words.optional
              : words.unless(withUnit(figureText(stands, 4), field.unit))}
          </small>
        )}
      </label>
      <span class="calc-step">
        <button type="button" aria-label={shell.less(label)} onClick={() => step(false)}>
          −
        </button>
        <input
          id={id}
          inputMode="decimal"
          autocomplete="off"
          enterkeyhint="next"
          maxLength={24}
          value={text}
          aria-invalid={said !== null}
          aria-describedby={`${id}-unit ${id}-said`}
          onInput={(event) => onText(event.currentTarget.value)}
          onKeyDown={(event) => {
            if (event.key !== "ArrowUp" && event.key !== "ArrowDown") return;
            event.preventDefault();
            step(event.key === "ArrowUp");
          }}
        />
        <span class="calc-unit" id={`${id}-unit`}>
          {field.unit}
        </span>
        <button type="button" aria-label={shell.more(label)} onClick={() => step(true)}>
          +
        </button>
      </span>
      <div class="calc-said" id={`${id}-said`} aria-live="polite">
        {said !== null && <p class="problem small">{said}</p>}
        {state.at === "ready" && !state.asShown && (
          <p class="small soft">{words.read.as(withUnit(plainText(state.value), field.unit))}</p>
        )}
        <Answers calculator={calculator} field={field} text={text} state={state} onText={onText} />
      </div>
    </div>
  );
}

function currentOf(state: FieldState): number | null {
  return "value" in state ? state.value : null;
}

function saidOf(
  field: NumberField,
  text: string,
  state: FieldState,
  refused: string | undefined,
): string | null {
  if (state.at === "refused") return words.read.not_a_number(text.trim());
  if (state.at === "not_whole") return words.read.not_whole(plainText(state.value));
  if (state.at === "two_ways") return words.read.two_ways(text.trim());
  if (state.at === "unusual") {
    const [low, high] = field.usual;
    const range = words.read.from_to(figureText(low, 6), withUnit(figureText(high, 6), field.unit));
    return words.read.unusual(withUnit(plainText(state.value), field.unit), range);
  }
  return refused ?? null;
}

/** The ways to answer what is asked about a value. */
function Answers(props: {
  readonly calculator: Calculator;
  readonly field: NumberField;
  readonly text: string;
  readonly state: FieldState;
  readonly onText: (text: string) => void;
}): JSX.Element | null {
  const { calculator, field, text, state, onText } = props;
  if (state.at === "two_ways") {
    return (
      <span class="choices">
        {state.values.map((value) => (
          <button key={value} type="button" class="choice" onClick={() => onText(plainText(value))}>
            {withUnit(plainText(value), field.unit)}
          </button>
        ))}
      </span>
    );
  }
  if (state.at !== "unusual") return null;
  return (
    <button
      type="button"
      class="choice"
      onClick={() => confirm(calculator, confirmKey(field.name, text))}
    >
      {words.read.meant(withUnit(plainText(state.value), field.unit))}
    </button>
  );
}
