/** What each canal had of each irrigant, beside what was asked. */

import type { JSX } from "preact";
import type { Totals } from "../../../core/types.ts";
import { words } from "../../../strings/review";
import { canalText, massText, spanText, timeOfDayText, volumeText } from "../../canal/amounts";
import { type Entry, markOf } from "../../canal/marks";
import { MarkTile } from "../../parts/mark";
import { siteText } from "../chair/texts";
import type { Against, TableRow, TimeCell, VolumeCell } from "./table_model";

const own = words.table;

interface CanalTableProps {
  readonly canal: string;
  readonly rows: readonly TableRow[];
  readonly entries: readonly Entry[];
}

/** One canal: its irrigants side by side, a measure a row, so that it fits beside the map. */
export function CanalTable(props: CanalTableProps): JSX.Element {
  const { canal, rows, entries } = props;
  if (rows.length === 0) return <p>{own.none}</p>;
  return (
    <div class="cc-table-frame">
      <table class="cc-table">
        <caption class="unseen">{canalText(canal)}</caption>
        <thead>
          <tr>
            <td />
            {rows.map((row) => (
              <th key={row.irrigant} scope="col">
                <span class="with-mark">
                  <MarkTile
                    contents={[{ irrigant: row.irrigant, concentration_mg_per_l: null }]}
                    catalogue={entries}
                  />{" "}
                  {entries.find((entry) => entry.irrigant === row.irrigant)?.title ?? row.irrigant}
                </span>
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {TIMES.map(([name, cell]) => (
            <tr key={name}>
              <th scope="row">{name}</th>
              {rows.map((row) => (
                <Time key={row.irrigant} cell={cell(row)} />
              ))}
            </tr>
          ))}
          <tr>
            <th scope="row">{own.volume}</th>
            {rows.map((row) => (
              <Volume key={row.irrigant} cell={row.volume} />
            ))}
          </tr>
          <tr>
            <th scope="row">{own.passed}</th>
            {rows.map(({ irrigant, volume }) => (
              <td key={irrigant}>{passedText(irrigant, volume, entries)}</td>
            ))}
          </tr>
        </tbody>
      </table>
    </div>
  );
}

const TIMES: readonly (readonly [string, (row: TableRow) => TimeCell])[] = [
  [own.anywhere, (row) => row.anywhere],
  [own.orifice, (row) => row.orifice],
  [own.last_3mm_least, (row) => row.last3mmLeast],
  [own.last_3mm_mean, (row) => row.last3mmMean],
  [own.fresh, (row) => row.fresh],
  [own.activated, (row) => row.activated],
  [own.longest, (row) => row.longest],
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

function Time({ cell }: { readonly cell: TimeCell }): JSX.Element {
  return (
    <td>
      {cell.ms === null ? own.length_unknown : spanText(cell.ms)}
      <Target against={cell.against} text={spanText} />
    </td>
  );
}

function Volume({ cell }: { readonly cell: VolumeCell | null }): JSX.Element {
  if (cell === null) return <td>{own.not_given}</td>;
  return (
    <td>
      {qualified(volumeText(cell.ul), cell)}
      <Target against={cell.against} text={volumeText} />
    </td>
  );
}

/** Mass that went through the needle; a rinse carries none. */
function passedText(
  irrigant: string,
  volume: VolumeCell | null,
  _entries: readonly Entry[],
): string {
  if (volume === null) return own.not_given;
  if (irrigant === "water") return own.no_solute;
  return volume.passedNg === null ? own.unknown : massOf(volume);
}

function massOf(cell: VolumeCell): string {
  return qualified(massText(cell.passedNg ?? 0), cell);
}

/** "at least" where an amount is unknown, else "about" where one was not measured. */
function qualified(text: string, cell: Pick<VolumeCell, "atLeast" | "about">): string {
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
          const cell = { atLeast: row.at_least, about: row.about };
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
