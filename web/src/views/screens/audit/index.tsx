/** Audit, first form: a period, a protocol, a room; every canal against what was asked of it. */

import type { JSX } from "preact";
import { useEffect, useState } from "preact/hooks";
import "../../style/figures.css";
import "./audit.css";
import "../chair/chair.css";
import { clinic, kitOf, protocols, roomTitle, zone } from "../../../store/clinic";
import { exactNow } from "../../../store/now";
import { to } from "../../../store/route";
import { connected, NotConnected, Refusal, server } from "../../../store/server";
import { visits } from "../../../store/visits";
import { words } from "../../../strings/audit";
import { canalText, spanText, volumeText } from "../../canal/amounts";
import type { Entry } from "../../canal/marks";
import { MarkTile } from "../../parts/mark";
import { Choice } from "../chair/choice";
import {
  type AuditAnswer,
  type AuditRow,
  auditPath,
  type Chart,
  charts,
  type Filter,
} from "./audit_model";
import { Spread } from "./spread";

const PERIODS: readonly (readonly [string, number | null, string])[] = [
  ["week", 7, words.periods.week],
  ["month", 30, words.periods.month],
  ["quarter", 90, words.periods.quarter],
  ["year", 365, words.periods.year],
  ["all", null, words.periods.all],
];

type State =
  | { readonly at: "asking" }
  | { readonly at: "here"; readonly answer: AuditAnswer }
  | { readonly at: "failed"; readonly text: string };

export default function Audit(): JSX.Element {
  const [filter, setFilter] = useState<Filter>({ days: 30, protocol: "", room: "" });
  const [state, setState] = useState<State>({ at: "asking" });
  const online = connected.value;
  useEffect(() => {
    let live = true;
    setState({ at: "asking" });
    server()
      .get<AuditAnswer>(auditPath(filter, exactNow()))
      .then(
        (answer) => live && setState({ at: "here", answer }),
        (found: unknown) => live && setState({ at: "failed", text: failureText(found) }),
      );
    return () => {
      live = false;
    };
  }, [filter, online]);
  const entries = anyCatalogue();
  return (
    <div class="cc-audit">
      <h1>{words.title}</h1>
      <p class="soft">{words.help}</p>
      <Filters filter={filter} onFilter={setFilter} />
      {state.at === "asking" && <p role="status">{words.asking}</p>}
      {state.at === "failed" && <p role="alert">{state.text}</p>}
      {state.at === "here" && <Answer answer={state.answer} entries={entries} filter={filter} />}
    </div>
  );
}

function failureText(found: unknown): string {
  if (found instanceof NotConnected) return words.offline;
  if (found instanceof Refusal) return words.refused(found.message);
  throw found;
}

function Filters(props: {
  readonly filter: Filter;
  readonly onFilter: (filter: Filter) => void;
}): JSX.Element {
  const { filter, onFilter } = props;
  const period = PERIODS.find(([, days]) => days === filter.days)?.[0] ?? "all";
  const named = new Map((protocols.value ?? []).map((row) => [row.protocol, row.title]));
  return (
    <div class="cc-filters">
      <Choice
        row
        what={words.period}
        value={period}
        options={PERIODS.map(([key, , text]): [string, string] => [key, text])}
        onChoose={(key) =>
          onFilter({ ...filter, days: PERIODS.find(([name]) => name === key)?.[1] ?? null })
        }
      />
      <label class="field">
        <span>{words.protocol}</span>
        <select
          class="entry"
          value={filter.protocol}
          onChange={(event) => onFilter({ ...filter, protocol: event.currentTarget.value })}
        >
          <option value="">{words.every_protocol}</option>
          {[...named].map(([protocol, title]) => (
            <option key={protocol} value={protocol}>
              {title}
            </option>
          ))}
        </select>
      </label>
      <label class="field">
        <span>{words.room}</span>
        <select
          class="entry"
          value={filter.room}
          onChange={(event) => onFilter({ ...filter, room: event.currentTarget.value })}
        >
          <option value="">{words.every_room}</option>
          {(clinic.value?.rooms ?? []).map((room) => (
            <option key={room.room} value={room.room}>
              {room.title}
            </option>
          ))}
        </select>
      </label>
    </div>
  );
}

function Answer(props: {
  readonly answer: AuditAnswer;
  readonly entries: readonly Entry[];
  readonly filter: Filter;
}): JSX.Element {
  const { entries, filter } = props;
  const marked = new Set(visits.value.filter((row) => row.training).map((row) => row.visit));
  const rows = props.answer.rows.map((row) => ({
    ...row,
    training: row.training ?? marked.has(row.visit),
  }));
  if (rows.length === 0) return <p class="cc-empty">{words.empty}</p>;
  return (
    <>
      {props.answer.stale > 0 && <p class="band note">{words.stale(props.answer.stale)}</p>}
      {(props.answer.unreadable ?? []).length > 0 && (
        <p class="band caution">{words.unreadable(props.answer.unreadable?.length ?? 0)}</p>
      )}
      {charts(rows).map((chart) => (
        <figure key={chart.irrigant} class="cc-chart">
          <figcaption>
            <b>
              {chart.measure === "last_3mm"
                ? words.question(titleOf(chart.irrigant, entries))
                : words.question_anywhere(titleOf(chart.irrigant, entries))}
            </b>{" "}
            <span>{answerText(chart)}</span>
          </figcaption>
          <Spread chart={chart} />
        </figure>
      ))}
      <p class="small soft">
        {words.dots}. {words.training_with} {words.expected}
      </p>
      <h2>{words.table}</h2>
      <a class="press" href={`/api${auditPath(filter, exactNow(), ".csv")}`} download>
        {words.csv}
      </a>
      <Table rows={rows} entries={entries} />
    </>
  );
}

function answerText(chart: Chart): string {
  const more = chart.unknown > 0 ? ` ${words.unknown(chart.unknown)}.` : "";
  if (chart.askedMs === null) return words.answer_unasked(chart.marks.length) + more;
  const [least, most] = chart.askedMs;
  const asked = least === most ? spanText(least) : `${spanText(least)} – ${spanText(most)}`;
  const answer = chart.measure === "last_3mm" ? words.answer : words.answer_anywhere;
  return answer(chart.reached, chart.asked, asked) + more;
}

function Table(props: {
  readonly rows: readonly AuditRow[];
  readonly entries: readonly Entry[];
}): JSX.Element {
  const day = new Intl.DateTimeFormat("en-GB", { dateStyle: "medium", timeZone: zone.value });
  return (
    // biome-ignore lint/a11y/noRedundantRoles: the cards of a narrow screen are no table to a browser
    <table class="cc-table" role="table">
      <thead>
        <tr>
          {[
            words.visit,
            words.canal,
            words.irrigant,
            words.anywhere,
            words.last_3mm,
            words.last_3mm_mean,
            words.fresh,
            words.activated,
            words.volume,
            words.findings,
          ].map((name) => (
            <th key={name} scope="col">
              {name}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {props.rows.map((row) => (
          <tr key={`${row.visit} ${row.canal} ${row.irrigant}`}>
            <th scope="row">
              <a href={to.review(row.visit)} aria-label={words.review(row.label)}>
                {row.tooth} · {row.label}
              </a>
              <small class="cc-target-text">
                {day.format(row.opened_at_ms)}, {roomTitle(row.room)},{" "}
                {row.signed ? words.yes : words.no}
                {row.training === true && <strong class="cc-training">{words.training}</strong>}
              </small>
            </th>
            <td data-name={words.canal}>{canalText(row.canal)}</td>
            <td data-name={words.irrigant}>
              <span class="with-mark">
                <MarkTile
                  contents={[{ irrigant: row.irrigant, concentration_mg_per_l: null }]}
                  catalogue={props.entries}
                />
                {titleOf(row.irrigant, props.entries)}
              </span>
            </td>
            <Cell name={words.anywhere} had={row.had.anywhere_ms} asked={row.asked?.contact_ms} />
            <Cell
              name={words.last_3mm}
              had={row.had.last_3mm_least_ms}
              asked={row.asked?.last_3mm_ms}
            />
            <Cell name={words.last_3mm_mean} had={row.had.last_3mm_mean_ms} asked={null} />
            <Cell name={words.fresh} had={row.had.fresh_ms} asked={row.asked?.fresh_ms} />
            <Cell
              name={words.activated}
              had={row.had.activated_ms}
              asked={row.asked?.activated_ms}
            />
            <td data-name={words.volume}>
              {volumeOf(row)}
              {row.asked?.volume_ul != null && (
                <small class="cc-target-text">{words.asked(volumeText(row.asked.volume_ul))}</small>
              )}
            </td>
            <td data-name={words.findings}>{row.findings}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function volumeOf({ had }: AuditRow): string {
  if (had.volume_ul === null) return words.none_recorded;
  const text = volumeText(had.volume_ul);
  if (had.volume_at_least && had.volume_ul === 0) return words.amount_unknown;
  if (had.volume_at_least) return words.at_least(text);
  return had.volume_about ? words.about(text) : text;
}

function Cell(props: {
  readonly name: string;
  readonly had: number | null;
  readonly asked: number | null | undefined;
}): JSX.Element {
  const { name, had, asked } = props;
  return (
    <td data-name={name}>
      {had === null ? words.length_unknown : spanText(had)}
      {asked != null && (
        <small class={had !== null && had >= asked ? "cc-target-text" : "cc-target-text cc-short"}>
          {words.asked(spanText(asked))}
        </small>
      )}
    </td>
  );
}

/** Any kit's catalogue serves for titles and marks: they are the clinic's own. */
function anyCatalogue(): readonly Entry[] {
  for (const row of protocols.value ?? []) {
    const state = kitOf(row.kit).value;
    if (state.at === "here") return state.kit.catalogue.irrigants;
  }
  return [];
}

function titleOf(irrigant: string, entries: readonly Entry[]): string {
  return (
    entries.find((entry) => entry.irrigant === irrigant)?.title ?? irrigant.replaceAll("_", " ")
  );
}
