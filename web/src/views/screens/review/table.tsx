/** What each canal had of each irrigant, beside what was asked. */

import type { JSX } from "preact";
import type { Totals } from "../../../core/types.ts";
import { words } from "../../../strings/review";
import { canalText, massText, spanText, timeOfDayText, volumeText } from "../../canal/amounts";
import { type Entry, markOf } from "../../canal/marks";
import { MarkTile } from "../../parts/mark";
import { Press } from "../chair/press";
import { siteText } from "../chair/texts";
import type { Against, Measure, TableRow, TimeCell, VolumeCell } from "./table_model";

const own = words.table;

export interface CanalTableProps {
  readonly canal: string;
  readonly rows: readonly TableRow[];
  readonly entries: readonly Entry[];
  /** Show the events that a figure rests on. */
  readonly onOpen: (row: TableRow, measure: Measure, title: string) => void;
}

/** One canal: an irrigant a row; on a narrow screen a row becomes a card of figures. */
export function CanalTable(props: CanalTableProps): JSX.Element {
  const { canal, rows } = props;
  if (rows.length === 0) return <p>{own.none}</p>;
  return (
    // biome-ignore lint/a11y/noRedundantRoles: the cards of a narrow screen are no table to a browser
    <table class="cc-table" role="table">
      <caption class="unseen">{canalText(canal)}</caption>
      <thead>
        <tr>
          <th scope="col">{own.irrigant}</th>
          {[...TIMES.map(([name]) => name), own.volume, own.passed].map((name) => (
            <th key={name} scope="col">
              {name}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {rows.map((row) => (
          <Row key={row.irrigant} row={row} {...props} />
        ))}
      </tbody>
    </table>
  );
}

function Row(props: CanalTableProps & { readonly row: TableRow }): JSX.Element {
  const { row, entries, onOpen } = props;
  const title = entries.find((entry) => entry.irrigant === row.irrigant)?.title ?? row.irrigant;
  const figure = (measure: Measure, name: string, text: string): JSX.Element => (
    <Press repeats class="cc-figure" onPress={() => onOpen(row, measure, `${title}, ${name}`)}>
      {text}
    </Press>
  );
  return (
    <tr>
      <th scope="row">
        <span class="with-mark">
          <MarkTile
            contents={[{ irrigant: row.irrigant, concentration_mg_per_l: null }]}
            catalogue={entries}
          />
          {title}
        </span>
      </th>
      {TIMES.map(([name, measure, cellOf]) => {
        const cell = cellOf(row);
        return (
          <td key={name} data-name={name}>
            {cell.ms === null ? own.length_unknown : figure(measure, name, spanText(cell.ms))}
            <Target against={cell.against} text={spanText} />
            {cell.carriedMs !== null && cell.carriedMs > (cell.ms ?? 0) && (
              <small class="cc-carried-text">{own.carried(spanText(cell.carriedMs))}</small>
            )}
          </td>
        );
      })}
      <td data-name={own.volume}>
        {row.volume === null || (row.volume.ul === 0 && !row.volume.atLeast)
          ? own.not_given
          : figure("volume", own.volume, qualified(volumeText(row.volume.ul), row.volume))}
        <Target against={row.volume?.against ?? null} text={volumeText} />
      </td>
      <td data-name={own.passed}>{passedText(row)}</td>
    </tr>
  );
}

const TIMES: readonly (readonly [string, Measure, (row: TableRow) => TimeCell])[] = [
  [own.anywhere, "anywhere", (row) => row.anywhere],
  [own.orifice, "orifice", (row) => row.orifice],
  [own.last_3mm_least, "last_3mm_least", (row) => row.last3mmLeast],
  [own.last_3mm_mean, "last_3mm_mean", (row) => row.last3mmMean],
  [own.fresh, "fresh", (row) => row.fresh],
  [own.activated, "activated", (row) => row.activated],
  [own.longest, "longest", (row) => row.longest],
];

/** What holds for all canals: the tooth's volumes, the measured share, dressings. */
export function TableNotes(props: {
  readonly totals: Totals;
  readonly entries: readonly Entry[];
  readonly zone: string;
}): JSX.Element {
  const { totals, entries, zone } = props;
  return (
    <>
      <ToothLine totals={totals} entries={entries} />
      {totals.dressings.length > 0 && <h3>{own.dressings}</h3>}
      {totals.dressings.map((one) => (
        <p key={one.site}>
          {own.dressing(
            siteText(one.site),
            markOf(one.contents, entries).long,
            one.since_ms === null ? own.unknown : timeOfDayText(one.since_ms, zone),
          )}
        </p>
      ))}
      <p class="small soft">
        {totals.measured_share_pct === null
          ? own.measured_none
          : own.measured_share(totals.measured_share_pct)}{" "}
        {own.expected} {own.passed_note} {own.reached_note}
      </p>
    </>
  );
}

/** Mass that went through the needle; a rinse carries none. */
function passedText({ irrigant, volume }: TableRow): string {
  if (volume === null) return own.not_given;
  if (irrigant === "water") return own.no_solute;
  return volume.passedNg === null ? own.unknown : qualified(massText(volume.passedNg), volume);
}

/** "at least" where an amount is unknown, else "about" where one was not measured. */
function qualified(text: string, cell: Pick<VolumeCell, "ul" | "atLeast" | "about">): string {
  if (cell.atLeast && cell.ul === 0) return own.amount_unknown;
  if (cell.atLeast) return own.at_least(text);
  return cell.about ? own.about(text) : text;
}

/** What was asked and whether it was reached, in words and never in green. */
function Target(props: {
  readonly against: Against | null;
  readonly text: (value: number) => string;
}): JSX.Element | null {
  const { against, text } = props;
  if (against === null) return null;
  const state =
    against.shortBy === null
      ? own.unknown
      : against.shortBy === 0
        ? own.reached
        : own.short_by(text(against.shortBy));
  return (
    <small class={against.shortBy === 0 ? "cc-target-text" : "cc-target-text cc-short"}>
      {own.asked(text(against.asked))}: {state}
    </small>
  );
}

function ToothLine(props: {
  readonly totals: Totals;
  readonly entries: readonly Entry[];
}): JSX.Element | null {
  const { totals, entries } = props;
  if (totals.tooth.length === 0) return null;
  return (
    <section class="cc-tooth-line">
      <h3>{own.tooth}</h3>
      <ul>
        {totals.tooth.map((row) => {
          const mark = markOf([row], entries);
          const cell = { ul: row.volume_ul, atLeast: row.at_least, about: row.about };
          const mass =
            row.passed_ng === null || row.passed_ng === 0 ? "" : ` · ${massText(row.passed_ng)}`;
          return (
            <li key={mark.short} class="with-mark">
              <MarkTile contents={[row]} catalogue={entries} />
              <span>
                {mark.long}: {qualified(volumeText(row.volume_ul) + mass, cell)}
              </span>
            </li>
          );
        })}
      </ul>
    </section>
  );
}
