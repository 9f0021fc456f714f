/** Calculators: the list of questions, and one of them with its live answer. */

import "./calculators.css";
import "../../style/forms.css";
import type { JSX } from "preact";
import { useEffect } from "preact/hooks";
import { to } from "../../../store/route";
import { connected } from "../../../store/server";
import { words } from "../../../strings/calculators";
import { Answer } from "./answer";
import { Form } from "./form";
import { type Calculator, isCalculator } from "./forms";
import { askSoon, hearList, type, typedOf } from "./state";

const GROUPS = [
  [words.groups.bottle, ["strength", "dilute", "mix", "storage"]],
  [words.groups.needle, ["canal", "needle", "flow"]],
  [words.groups.canal, ["rinse", "exposure", "warmth"]],
] as const satisfies readonly (readonly [string, readonly Calculator[]])[];

interface Props {
  readonly subject: string | null;
  readonly query: URLSearchParams;
}

export default function Calculators({ subject, query }: Props): JSX.Element {
  const online = connected.value;
  useEffect(() => {
    void hearList();
  }, [online]);
  return (
    <div class={isCalculator(subject) ? "calc is-one" : "calc"}>
      <List current={isCalculator(subject) ? subject : null} />
      {isCalculator(subject) ? <One calculator={subject} query={query} /> : null}
    </div>
  );
}

/** Every question by where it arises; beside an open one it is the short way to the others. */
function List({ current }: { readonly current: Calculator | null }): JSX.Element {
  const Title = current === null ? "h1" : "h2";
  return (
    <section class="calc-list">
      <Title>{words.title}</Title>
      {current === null && <p class="soft">{words.help}</p>}
      {GROUPS.map(([title, names]) => (
        <div key={title} class="calc-group">
          <h3>{title}</h3>
          <ul>
            {names.map((name) => (
              <li key={name}>
                <a href={to.calculator(name)} aria-current={name === current ? "page" : undefined}>
                  <strong>{words.names[name]}</strong>
                  <span class="small soft">{words.asks[name]}</span>
                </a>
              </li>
            ))}
          </ul>
        </div>
      ))}
      {current === null && <p class="small soft calc-judgement">{words.judgement}</p>}
    </section>
  );
}

function One(props: { readonly calculator: Calculator; readonly query: URLSearchParams }) {
  const { calculator, query } = props;
  const online = connected.value;
  const typed = typedOf(calculator);
  useEffect(() => {
    const brought = Object.fromEntries(query);
    if (Object.keys(brought).length > 0) type(calculator, brought);
  }, [calculator, query]);
  // `typed` and `online`: what is typed is asked, and asked again when the line comes back.
  useEffect(() => askSoon(calculator), [calculator, typed, online]);
  return (
    <article class="calc-one">
      <header>
        <a class="calc-back" href={to.calculators()}>
          {words.all}
        </a>
        <h1>{words.names[calculator]}</h1>
        <p class="soft">{words.asks[calculator]}</p>
      </header>
      <Form calculator={calculator} />
      <Answer calculator={calculator} />
      <p class="small soft calc-judgement">{words.judgement}</p>
    </article>
  );
}
