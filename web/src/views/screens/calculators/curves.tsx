/** The curves: strength against days, pressure against flow, exposure as it adds up, cooling. */

import type { JSX } from "preact";
import { words } from "../../../strings/calculators";
import type { Figures, Given } from "./asking";
import { figureText, unitOf, wholeBandText, withUnit } from "./numbers";
import { bandPath, EndNames, type Frame, linePath, Plot } from "./plot";
import { around } from "./scales";
import { type CurveRow, defaultOf } from "./state";

type Line = readonly (readonly [number, number | null])[];

function lineOf(rows: readonly CurveRow[], over: string, name: string): Line {
  return rows.map((row) => [row[over] ?? 0, row[name] ?? null]);
}

function bandOf(rows: readonly CurveRow[], over: string, low: string, high: string) {
  return rows.flatMap((row): readonly (readonly [number, number, number])[] => {
    const [from, to] = [row[low], row[high]];
    return from == null || to == null ? [] : [[row[over] ?? 0, from, to]];
  });
}

function figuresOf(rows: readonly CurveRow[], ...names: readonly string[]): readonly number[] {
  return rows.flatMap((row) => names.flatMap((name) => row[name] ?? []));
}

function asNumber(value: unknown): number | null {
  return typeof value === "number" ? value : null;
}

function lastOf(rows: readonly CurveRow[], name: string): number {
  return rows.at(-1)?.[name] ?? 0;
}

/** A dot where it was asked, on one line or on both ends of a band. */
function Asked(props: {
  readonly frame: Frame;
  readonly at: number;
  readonly values: readonly number[];
}): JSX.Element {
  const { frame, at, values } = props;
  return (
    <g class="calc-here">
      <path d={`M${frame.x(at)} ${frame.bottom}V${frame.top}`} />
      {values.map((value) => (
        <circle key={value} cx={frame.x(at)} cy={frame.y(value)} r="4.5" />
      ))}
    </g>
  );
}

/** Left of the day of falling there is room for a name from here on. [px] */
const ROOM_PX = 200;

export function StorageCurve(props: {
  readonly rows: readonly CurveRow[];
  readonly figures: Figures;
  readonly given: Given;
}): JSX.Element | null {
  const { rows, figures, given } = props;
  const to = lastOf(rows, "days");
  if (rows.length < 2 || to <= 0) return null;
  const tolerance = asNumber(figures.tolerance_pct_wv);
  const [low, high] = [asNumber(figures.low_pct_wv), asNumber(figures.remaining_pct_wv)];
  const early = asNumber(figures.days_to_tolerance_low);
  const late = asNumber(figures.days_to_tolerance);
  const all = figuresOf(rows, "low_pct_wv", "remaining_pct_wv");
  const isHistory = given.history !== undefined;
  const days = isHistory ? to : Number(given.days ?? 0);
  const drawnDay = early !== null && late !== null && early < to;
  const fall =
    early === null || late === null
      ? null
      : wholeBandText(early, late, unitOf("days_to_tolerance"));
  return (
    <Plot
      title={words.picture.storage}
      xs={[0, to]}
      ys={around([...all, ...(tolerance === null ? [] : [tolerance])], false)}
      xUnit={words.picture.days_axis}
      yUnit={words.picture.strength_axis}
      below={
        fall !== null ? (
          <p class="small soft">
            {drawnDay ? words.picture.falls_below(fall) : words.picture.beyond(fall)}
          </p>
        ) : null
      }
    >
      {(frame) => (
        <>
          {drawnDay && early !== null && late !== null && (
            <FallsBelow frame={frame} early={early} late={Math.min(late, to)} />
          )}
          <path
            d={bandPath(bandOf(rows, "days", "low_pct_wv", "remaining_pct_wv"), frame)}
            class="calc-band"
          />
          <path d={linePath(lineOf(rows, "days", "remaining_pct_wv"), frame)} class="calc-line" />
          <path
            d={linePath(lineOf(rows, "days", "low_pct_wv"), frame)}
            class="calc-line calc-low"
          />
          {tolerance !== null && (
            <g>
              <path d={`M${frame.left} ${frame.y(tolerance)}H${frame.right}`} class="calc-dashed" />
              <text
                class="calc-halo"
                x={early !== null && frame.x(early) > ROOM_PX ? frame.left + 6 : frame.right - 3}
                y={frame.y(tolerance) + (early !== null && frame.x(early) > ROOM_PX ? 15 : -6)}
                text-anchor={early !== null && frame.x(early) > ROOM_PX ? "start" : "end"}
              >
                {words.picture.tolerance(
                  withUnit(figureText(tolerance, 4), unitOf("tolerance_pct_wv")),
                )}
              </text>
            </g>
          )}
          {low !== null && high !== null && <Asked frame={frame} at={days} values={[low, high]} />}
          <EndNames
            frame={frame}
            names={[
              { text: words.picture.best, y: frame.y(lastOf(rows, "remaining_pct_wv")) - 16 },
              { text: words.picture.low_end, y: frame.y(lastOf(rows, "low_pct_wv")) + 20 },
            ]}
          />
        </>
      )}
    </Plot>
  );
}

/** The days in which the strength falls below the tolerance. */
function FallsBelow(props: {
  readonly frame: Frame;
  readonly early: number;
  readonly late: number;
}): JSX.Element {
  const { frame, early, late } = props;
  return (
    <rect
      class="calc-strip"
      x={frame.x(early)}
      width={Math.max(1, frame.x(late) - frame.x(early))}
      y={frame.top}
      height={frame.bottom - frame.top}
    />
  );
}

interface Mark {
  readonly at: number;
  readonly text: string;
  readonly tag: string;
}

function marksOf(value: unknown, name: string): readonly Mark[] {
  if (!Array.isArray(value)) return [];
  return value.map((mark: { readonly [field: string]: unknown }) => ({
    at: Number(mark[name]),
    text: String(mark.text),
    tag: String(mark.tag),
  }));
}

export function FlowCurves(props: {
  readonly rows: readonly CurveRow[];
  readonly figures: Figures;
}): JSX.Element | null {
  const { rows, figures } = props;
  const over = "flow_ml_per_min";
  const to = lastOf(rows, over);
  if (rows.length < 2) return null;
  const marks = marksOf(figures.marks, over);
  const flow = asNumber(figures[over]) ?? 0;
  const ends = [asNumber(figures.pressure_low_kpa), asNumber(figures.pressure_high_kpa)];
  return (
    <>
      <Plot
        title={words.picture.pressure}
        xs={[0, to]}
        ys={around(figuresOf(rows, "pressure_high_kpa"), true)}
        xUnit={words.picture.flow_axis}
        yUnit={words.picture.pressure_axis}
        above={34}
        below={<MarkList title={words.picture.marks} marks={marks} unit={unitOf(over)} />}
      >
        {(frame) => (
          <>
            <FlowMarks frame={frame} marks={marks} />
            <path
              d={bandPath(bandOf(rows, over, "pressure_low_kpa", "pressure_high_kpa"), frame)}
              class="calc-band"
            />
            <path d={linePath(lineOf(rows, over, "pressure_kpa"), frame)} class="calc-line" />
            <Asked
              frame={frame}
              at={flow}
              values={ends.filter((end): end is number => end !== null)}
            />
            <EndNames
              frame={frame}
              names={[
                { text: words.picture.narrowest, y: frame.y(lastOf(rows, "pressure_high_kpa")) },
                { text: words.picture.nominal, y: frame.y(lastOf(rows, "pressure_kpa")) },
                { text: words.picture.widest, y: frame.y(lastOf(rows, "pressure_low_kpa")) },
              ]}
            />
          </>
        )}
      </Plot>
      <BackPressure rows={rows} figures={figures} to={to} flow={flow} marks={marks} />
    </>
  );
}

function BackPressure(props: {
  readonly rows: readonly CurveRow[];
  readonly figures: Figures;
  readonly to: number;
  readonly flow: number;
  readonly marks: readonly Mark[];
}): JSX.Element | null {
  const { rows, figures, to, flow, marks } = props;
  const [low, high] = ["back_pressure_low_mmhg", "back_pressure_high_mmhg"] as const;
  if (rows.at(-1)?.[high] == null) return null;
  const references = marksOf(figures.references, "pressure_mmhg");
  const ends = [asNumber(figures[low]), asNumber(figures[high])];
  return (
    <Plot
      title={words.picture.back}
      xs={[0, to]}
      ys={around([...figuresOf(rows, high), ...references.map((mark) => mark.at)], true)}
      xUnit={words.picture.flow_axis}
      yUnit={words.picture.back_axis}
      above={34}
      below={<MarkList title={words.picture.references} marks={references} unit="mmHg" letters />}
    >
      {(frame) => (
        <>
          <FlowMarks frame={frame} marks={marks} />
          {references.map((mark, index) => (
            <g key={mark.text}>
              <path d={`M${frame.left} ${frame.y(mark.at)}H${frame.right}`} class="calc-dashed" />
              <text x={frame.left + 4 + 14 * index} y={frame.y(mark.at) - 4} class="calc-strong">
                {letterOf(index)}
              </text>
            </g>
          ))}
          <path d={bandPath(bandOf(rows, "flow_ml_per_min", low, high), frame)} class="calc-band" />
          <path
            d={linePath(lineOf(rows, "flow_ml_per_min", "back_pressure_mmhg"), frame)}
            class="calc-line"
          />
          <Asked
            frame={frame}
            at={flow}
            values={ends.filter((end): end is number => end !== null)}
          />
          <EndNames
            frame={frame}
            names={[
              { text: words.picture.with_head, y: frame.y(lastOf(rows, high)) },
              { text: words.picture.central, y: frame.y(lastOf(rows, "back_pressure_mmhg")) },
              { text: words.picture.at_wall, y: frame.y(lastOf(rows, low)) },
            ]}
          />
        </>
      )}
    </Plot>
  );
}

/** Numbers over the drawing, in two rows so that near ones stay apart. */
function FlowMarks(props: { readonly frame: Frame; readonly marks: readonly Mark[] }): JSX.Element {
  const { frame, marks } = props;
  return (
    <g class="calc-marks">
      {marks.map((mark, index) => {
        const x = frame.x(mark.at);
        const y = frame.top - (index % 2 === 0 ? 10 : 27);
        return (
          <g key={mark.text}>
            <path d={`M${x} ${y + 7}V${frame.bottom}`} />
            <circle cx={x} cy={y} r="7.5" />
            <text x={x} y={y + 4} text-anchor="middle">
              {index + 1}
            </text>
          </g>
        );
      })}
    </g>
  );
}

function letterOf(index: number): string {
  return String.fromCharCode(97 + index);
}

function MarkList(props: {
  readonly title: string;
  readonly marks: readonly Mark[];
  readonly unit: string;
  readonly letters?: boolean;
}): JSX.Element {
  return (
    <div class="calc-mark-list small">
      <p class="soft">{props.title}</p>
      <ol>
        {props.marks.map((mark, index) => (
          <li key={mark.text}>
            <b>{props.letters === true ? letterOf(index) : index + 1}</b>
            <span>
              <span class="nowrap">{withUnit(figureText(mark.at), props.unit)}</span>: {mark.text}{" "}
              <span class="soft">({mark.tag})</span>
            </span>
          </li>
        ))}
      </ol>
    </div>
  );
}

export function ExposureCurve(props: {
  readonly rows: readonly CurveRow[];
  readonly figures: Figures;
}): JSX.Element | null {
  const { rows, figures } = props;
  const rate = asNumber(figures.consumption_high_per_min) ?? 0;
  const rateText = withUnit(figureText(rate), unitOf("consumption_high_per_min"));
  const to = lastOf(rows, "minutes");
  if (rows.length < 2 || to <= 0) return null;
  const [nominal, low] = [lastOf(rows, "nominal_pct_min"), lastOf(rows, "low_pct_min")];
  return (
    <Plot
      title={words.picture.exposure}
      xs={[0, to]}
      ys={around([nominal, 0.001], true)}
      xUnit={words.picture.minutes_axis}
      yUnit={words.picture.exposure_axis}
    >
      {(frame) => (
        <>
          <path
            d={bandPath(bandOf(rows, "minutes", "low_pct_min", "nominal_pct_min"), frame)}
            class="calc-band"
          />
          <path d={linePath(lineOf(rows, "minutes", "nominal_pct_min"), frame)} class="calc-line" />
          <path
            d={linePath(lineOf(rows, "minutes", "low_pct_min"), frame)}
            class="calc-line calc-low"
          />
          <Asked frame={frame} at={to} values={[low, nominal]} />
          <EndNames
            frame={{ ...frame, right: frame.right - 8 }}
            names={[
              { text: words.picture.as_labelled, y: frame.y(nominal) - 8 },
              { text: words.picture.consumed(rateText), y: frame.y(low * 0.12) },
            ]}
          />
        </>
      )}
    </Plot>
  );
}

export function WarmthCurve(props: {
  readonly rows: readonly CurveRow[];
  readonly figures: Figures;
  readonly given: Given;
}): JSX.Element | null {
  const { rows, figures, given } = props;
  const to = lastOf(rows, "seconds");
  if (rows.length < 2) return null;
  const limit = asNumber(given.limit_celsius) ?? defaultOf("warmth", "limit_celsius");
  const after = asNumber(figures.after_celsius);
  const all = [...figuresOf(rows, "after_celsius"), ...(limit === null ? [] : [limit])];
  return (
    <Plot
      title={words.picture.warmth}
      xs={[0, to]}
      ys={around(all, false)}
      xUnit={words.picture.seconds_axis}
      yUnit={words.picture.celsius_axis}
    >
      {(frame) => (
        <>
          {limit !== null && (
            <g>
              <path d={`M${frame.left} ${frame.y(limit)}H${frame.right}`} class="calc-dashed" />
              <text x={frame.right - 3} y={frame.y(limit) - 6} text-anchor="end">
                {words.picture.asked_about(withUnit(figureText(limit), unitOf("limit_celsius")))}
              </text>
            </g>
          )}
          <path d={linePath(lineOf(rows, "seconds", "after_celsius"), frame)} class="calc-line" />
          {after !== null && (
            <Asked frame={frame} at={Number(given.seconds ?? 0)} values={[after]} />
          )}
        </>
      )}
    </Plot>
  );
}
