/** What came back: cautions first, then the figures that were asked for, the picture, the rest, the sources. */

import type { JSX } from "preact";
import { words } from "../../../strings/calculators";
import { type Row, rowsOf, type Tag, tagsOf } from "./answers";
import type { Figures } from "./asking";
import type { Calculator } from "./forms";
import { fieldLabel, rowLabel } from "./labels";
import { figureText, withUnit } from "./numbers";
import { Picture } from "./picture";
import { type Answered, answeredOf, askSoon } from "./state";

export function Answer({ calculator }: { readonly calculator: Calculator }): JSX.Element {
  const answered = answeredOf(calculator);
  const busy = answered.at === "asking" || (answered.at === "here" && answered.stale);
  return (
    <section class="calc-answer" aria-label={words.answer} aria-busy={busy}>
      {answered.at === "here" ? (
        <Here calculator={calculator} answered={answered} />
      ) : (
        <Waiting calculator={calculator} answered={answered} />
      )}
    </section>
  );
}

function Waiting(props: {
  readonly calculator: Calculator;
  readonly answered: Exclude<Answered, { readonly at: "here" }>;
}): JSX.Element {
  const { calculator, answered } = props;
  if (answered.at === "open") {
    return <p class="calc-open">{openText(calculator, answered)}</p>;
  }
  if (answered.at === "asking") return <p role="status">{words.waiting.asking}</p>;
  return (
    <div class="calc-failed" role="alert">
      <p>{failureText(calculator, answered)}</p>
      {answered.at !== "refused" && (
        <button type="button" class="press" onClick={() => askSoon(calculator, true)}>
          {words.try_again}
        </button>
      )}
    </div>
  );
}

function openText(
  calculator: Calculator,
  open: { readonly missing: readonly string[]; readonly questioned: readonly string[] },
): string {
  if (open.missing.includes("basis")) return words.waiting.basis;
  const names = (list: readonly string[]): string =>
    list.map((name) => fieldLabel(calculator, name).toLocaleLowerCase()).join(", ");
  const parts = [];
  if (open.questioned.length > 0) parts.push(words.waiting.questioned(names(open.questioned)));
  if (open.missing.length > 0) parts.push(words.waiting.missing(names(open.missing)));
  return parts.join(" ");
}

function failureText(
  calculator: Calculator,
  answered: Extract<Answered, { readonly at: "away" | "refused" | "unreadable" }>,
): string {
  if (answered.at === "away") return words.away;
  if (answered.at === "unreadable") return words.unreadable;
  const { found, expected, message } = answered.refusal;
  if (found === null || expected === null) return words.refused(message);
  const where = answered.where.map((name) => fieldLabel(calculator, name)).join(", ");
  return words.refused(`${where}: ${words.read.server(found, expected)}`);
}

function Here(props: {
  readonly calculator: Calculator;
  readonly answered: Extract<Answered, { readonly at: "here" }>;
}): JSX.Element {
  const { calculator, answered } = props;
  const { figures } = answered;
  const rows = rowsOf(calculator, figures);
  return (
    <>
      <Cautions figures={figures} />
      <div class={answered.stale ? "calc-result is-stale" : "calc-result"}>
        <Rows calculator={calculator} rows={rows.filter((row) => row.head)} kind="calc-heads" />
        <Remarks calculator={calculator} figures={figures} />
        <Picture calculator={calculator} answered={answered} />
        <Rows calculator={calculator} rows={rows.filter((row) => !row.head)} kind="calc-rows" />
      </div>
      <Sources figures={figures} />
    </>
  );
}

function Rows(props: {
  readonly calculator: Calculator;
  readonly rows: readonly Row[];
  readonly kind: string;
}): JSX.Element | null {
  if (props.rows.length === 0) return null;
  return (
    <dl class={props.kind}>
      {props.rows.map((row) => (
        <div key={row.name}>
          <dt>{rowLabel(props.calculator, row.name)}</dt>
          <dd>{row.text}</dd>
        </div>
      ))}
    </dl>
  );
}

/** What a figure that is not a number has to say. */
function Remarks(props: {
  readonly calculator: Calculator;
  readonly figures: Figures;
}): JSX.Element | null {
  const { calculator, figures } = props;
  if (calculator === "needle" && figures.shortest_of_wl_mm === null)
    return <p class="calc-remark">{words.nowhere_loose}</p>;
  if (calculator === "storage" && figures.days_to_tolerance === null)
    return <p class="calc-remark">{words.no_tolerance}</p>;
  if (calculator === "rinse" && typeof figures.below_colour === "boolean") {
    const { yes, no } = words.below_colour;
    return <p class="calc-remark">{figures.below_colour ? yes : no}</p>;
  }
  return null;
}

/** The server's cautions, all of them; the last is the same for every calculator and stands below too. */
function Cautions({ figures }: { readonly figures: Figures }): JSX.Element | null {
  const lines = textsOf(figures.cautions);
  if (lines.length === 0) return null;
  return (
    <div class="band caution calc-cautions">
      <svg viewBox="0 0 24 24" aria-hidden="true">
        <path d="M12 3L22 21H2Z" fill="none" stroke="currentColor" stroke-width="2" />
        <path d="M12 10v5m0 2v1" stroke="currentColor" stroke-width="2" />
      </svg>
      <span class="word">{words.caution}</span>
      <ul class="lines small">
        {lines.map((line) => (
          <li key={line}>{line}</li>
        ))}
      </ul>
    </div>
  );
}

function Sources({ figures }: { readonly figures: Figures }): JSX.Element | null {
  const lines = textsOf(figures.source);
  if (lines.length === 0) return null;
  return (
    <details class="calc-sources">
      <summary>{words.sources}</summary>
      <ul>
        {lines.map((line) => (
          <li key={line}>{line}</li>
        ))}
      </ul>
      <ul class="small soft">
        {tagsOf(lines).map((tag: Tag) => (
          <li key={tag}>{words.tags[tag]}</li>
        ))}
      </ul>
    </details>
  );
}

export function textsOf(value: unknown): readonly string[] {
  return Array.isArray(value) ? value.filter((line) => typeof line === "string") : [];
}

/** A figure of an answer with its unit; for the words in pictures. */
export function shortText(value: number, unit: string, digits = 3): string {
  return withUnit(figureText(value, digits), unit);
}
