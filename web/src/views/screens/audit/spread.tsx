/** Canals side by side from least to most, with the line of what was asked: one question a chart. */

import type { JSX } from "preact";
import { words } from "../../../strings/audit";
import { spanText } from "../../canal/amounts";
import type { Chart, Mark } from "./audit_model";

const WIDTH = 640;
const HEIGHT = 150;
const LEFT = 76;
const TOP = 10;
const BOTTOM = 12;
const DOT = 4.5;

export function Spread({ chart }: { readonly chart: Chart }): JSX.Element {
  const y = (ms: number): number => HEIGHT - BOTTOM - (ms / chart.mostMs) * (HEIGHT - TOP - BOTTOM);
  const step = (WIDTH - LEFT - 12) / Math.max(1, chart.marks.length);
  return (
    <svg class="cc-spread" viewBox={`0 0 ${WIDTH} ${HEIGHT}`} role="img" aria-label={spoken(chart)}>
      <path d={`M${LEFT} ${TOP}V${HEIGHT - BOTTOM}H${WIDTH - 8}`} class="cc-spread-axis" />
      <text x={LEFT - 6} y={y(0)} text-anchor="end">
        0
      </text>
      <text x={LEFT - 6} y={TOP + 8} text-anchor="end">
        {spanText(chart.mostMs)}
      </text>
      {chart.askedMs !== null && (
        <g class="cc-spread-asked">
          <rect
            x={LEFT}
            width={WIDTH - LEFT - 8}
            y={y(chart.askedMs[1])}
            height={Math.max(1, y(chart.askedMs[0]) - y(chart.askedMs[1]))}
          />
          <path d={`M${LEFT} ${y(chart.askedMs[1])}H${WIDTH - 8}`} />
          <text x={WIDTH - 10} y={y(chart.askedMs[1]) - 4} text-anchor="end">
            {words.asked_line} {spanText(chart.askedMs[1])}
          </text>
        </g>
      )}
      {chart.marks.map((mark, index) => (
        <Point
          key={`${mark.row.visit} ${mark.row.canal}`}
          mark={mark}
          x={LEFT + (index + 0.5) * step}
          y={y(mark.ms)}
        />
      ))}
    </svg>
  );
}

function Point(props: {
  readonly mark: Mark;
  readonly x: number;
  readonly y: number;
}): JSX.Element {
  const { mark, x, y } = props;
  const kind = mark.row.signed ? "cc-spread-signed" : "cc-spread-open";
  if (mark.row.training === true) {
    return <rect x={x - DOT} y={y - DOT} width={DOT * 2} height={DOT * 2} class={kind} />;
  }
  return <circle cx={x} cy={y} r={DOT} class={kind} />;
}

function spoken(chart: Chart): string {
  return chart.marks
    .map((mark) => `${mark.row.label} ${mark.row.canal}: ${spanText(mark.ms)}`)
    .join("; ");
}
