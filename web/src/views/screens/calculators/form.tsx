/** What is asked: choices first, figures one a line, assumptions folded away. */

import type { JSX } from "preact";
import { to } from "../../../store/route";
import { words } from "../../../strings/calculators";
import { Choices } from "../../parts/choices";
import { STRETCHES_MAX, type Stretch, stretchesOf, stretchesText, stretchField } from "./asking";
import { Figure } from "./field";
import {
  BASES,
  type Calculator,
  CHOSEN,
  type ChoiceField,
  type Field,
  fieldsOf,
  type NumberField,
} from "./forms";
import { fieldLabel, optionLabel } from "./labels";
import { type Answered, answeredOf, clear, exampleOf, type, typedOf } from "./state";

/** Options up to so many are all in sight. */
const IN_SIGHT_MOST = 5;

export function Form({ calculator }: { readonly calculator: Calculator }): JSX.Element {
  const { values } = typedOf(calculator);
  const fields = fieldsOf(calculator, values);
  const refused = refusals(answeredOf(calculator));
  const example = exampleOf(calculator, BASES);
  const assumed = fields.filter((field) => field.kind === "number" && field.assumed);
  const shown = fields.filter((field) => !assumed.includes(field));
  const line = (field: Field): JSX.Element => (
    <Line key={field.name} calculator={calculator} field={field} refused={refused} />
  );
  return (
    <section class="calc-form" aria-label={words.inputs}>
      {shown.map(line)}
      {assumed.length > 0 && (
        <details class="calc-assumed" open={assumed.some((field) => refused.has(field.name))}>
          <summary>{words.assumptions}</summary>
          <p class="small soft">{words.assumptions_help}</p>
          {assumed.map(line)}
        </details>
      )}
      <p class="calc-ways">
        <button
          type="button"
          class="press quiet"
          disabled={example === null}
          onClick={() => {
            if (example === null) return;
            clear(calculator);
            type(calculator, example);
          }}
        >
          {words.example}
        </button>
        <button type="button" class="press quiet" onClick={() => clear(calculator)}>
          {words.clear}
        </button>
      </p>
    </section>
  );
}

/** What the server refused, by the input it names. */
function refusals(answered: Answered): ReadonlyMap<string, string> {
  if (answered.at !== "refused") return new Map();
  const { found, expected } = answered.refusal;
  const said =
    found === null || expected === null
      ? answered.refusal.message
      : words.read.server(found, expected);
  return new Map(answered.where.map((name) => [name, said]));
}

function Line(props: {
  readonly calculator: Calculator;
  readonly field: Field;
  readonly refused: ReadonlyMap<string, string>;
}): JSX.Element {
  const { calculator, field, refused } = props;
  const { values } = typedOf(calculator);
  if (field.kind === "choice") return <Choice calculator={calculator} field={field} />;
  if (field.kind === "history")
    return <History calculator={calculator} refused={refused.get("history")} />;
  return (
    <Figure
      calculator={calculator}
      field={field}
      text={values[field.name] ?? ""}
      onText={(text) => type(calculator, { [field.name]: text })}
      refused={refused.get(field.name)}
    />
  );
}

function Choice(props: {
  readonly calculator: Calculator;
  readonly field: ChoiceField;
}): JSX.Element {
  const { calculator, field } = props;
  const value = typedOf(calculator).values[field.name] ?? CHOSEN[field.name] ?? null;
  const isBasis = field.name === "basis";
  const byVolume = isBasis && field.options.includes("other");
  const label = byVolume ? words.fields.basis_wv : fieldLabel(calculator, field.name);
  const options = field.options.map((option) => ({
    value: option,
    text: byVolume && option !== "other" ? words.by_volume : optionLabel(field.name, option),
  }));
  const pick = (picked: string): void => type(calculator, { [field.name]: picked });
  return (
    <div class="calc-choice">
      {options.length > IN_SIGHT_MOST ? (
        <Select label={label} options={options} value={value} onPick={pick} />
      ) : (
        <Choices label={label} options={options} value={value} onPick={pick} />
      )}
      {isBasis && value === null && <p class="small soft">{words.basis_help}</p>}
      {isBasis && value === "other" && (
        <p class="small">
          {words.basis_other}{" "}
          <a class="nowrap" href={to.calculator("strength")}>
            {words.to_strength}
          </a>
        </p>
      )}
    </div>
  );
}

/** More than a few: one line that opens; nothing is chosen until somebody chooses. */
function Select(props: {
  readonly label: string;
  readonly options: readonly { readonly value: string; readonly text: string }[];
  readonly value: string | null;
  readonly onPick: (value: string) => void;
}): JSX.Element {
  return (
    <label class="field">
      <span>{props.label}</span>
      <select
        class="entry"
        value={props.value ?? ""}
        onChange={(event) => {
          if (event.currentTarget.value !== "") props.onPick(event.currentTarget.value);
        }}
      >
        {props.value === null && <option value="">{words.choose}</option>}
        {props.options.map((option) => (
          <option key={option.value} value={option.value}>
            {option.text}
          </option>
        ))}
      </select>
    </label>
  );
}

function History(props: {
  readonly calculator: Calculator;
  readonly refused: string | undefined;
}): JSX.Element {
  const { calculator } = props;
  const stretches = stretchesOf(typedOf(calculator).values.history);
  const put = (next: readonly Stretch[]): void =>
    type(calculator, { history: stretchesText(next) });
  const change = (at: number, part: Partial<Stretch>): void =>
    put(stretches.map((stretch, index) => (index === at ? { ...stretch, ...part } : stretch)));
  const [days, celsius]: readonly NumberField[] = [stretchField("days"), stretchField("celsius")];
  return (
    <fieldset class="calc-history">
      <legend>{fieldLabel(calculator, "history")}</legend>
      {stretches.map((stretch, index) => (
        <div key={index} class="calc-stretch">
          {days !== undefined && (
            <Figure
              calculator={calculator}
              field={days}
              label={words.history.days(index + 1)}
              text={stretch.days}
              onText={(text) => change(index, { days: text })}
            />
          )}
          {celsius !== undefined && (
            <Figure
              calculator={calculator}
              field={celsius}
              label={words.history.celsius(index + 1)}
              text={stretch.celsius}
              onText={(text) => change(index, { celsius: text })}
            />
          )}
          {stretches.length > 1 && (
            <button
              type="button"
              class="press quiet"
              onClick={() => put(stretches.filter((_, at) => at !== index))}
            >
              {words.history.remove(index + 1)}
            </button>
          )}
        </div>
      ))}
      {props.refused !== undefined && <p class="problem small">{props.refused}</p>}
      {stretches.length < STRETCHES_MAX && (
        <button
          type="button"
          class="press"
          onClick={() => put([...stretches, { days: "", celsius: "" }])}
        >
          {words.history.add}
        </button>
      )}
    </fieldset>
  );
}
