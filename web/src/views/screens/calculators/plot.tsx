/** A plain drawing with two axes and their units; lines are named where they end, not in a legend. */

import type { ComponentChildren, JSX } from "preact";
import { useLayoutEffect, useRef, useState } from "preact/hooks";
import { figureText } from "./numbers";
import { spread, ticks } from "./scales";

export interface Frame {
  readonly x: (value: number) => number;
  readonly y: (value: number) => number;
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

interface PlotProps {
  readonly title: string;
  readonly xs: readonly [number, number];
  readonly ys: readonly [number, number];
  readonly xUnit: string;
  readonly yUnit: string;
  /** Room above the drawing for marks. [px] */
  readonly above?: number;
  readonly children: (frame: Frame) => ComponentChildren;
  readonly below?: ComponentChildren;
}

const LEFT = 44;
const RIGHT = 14;
const TOP = 26;
const BOTTOM = 40;
const WIDE = 640;
const FIRST_WIDTH = 340;

export function Plot(props: PlotProps): JSX.Element {
  const { title, xs, ys, above = 0 } = props;
  const [holder, width] = useWidth();
  const top = TOP + above;
  const height = top + BOTTOM + (width > 480 ? 260 : 200);
  const frame: Frame = {
    left: LEFT,
    right: width - RIGHT,
    top,
    bottom: height - BOTTOM,
    x: (value) => LEFT + ((value - xs[0]) / (xs[1] - xs[0])) * (width - LEFT - RIGHT),
    y: (value) => height - BOTTOM - ((value - ys[0]) / (ys[1] - ys[0])) * (height - BOTTOM - top),
  };
  return (
    <figure class="calc-picture">
      <figcaption>{title}</figcaption>
      <div ref={holder} class="calc-holder">
        <svg width={width} height={height} viewBox={`0 0 ${width} ${height}`} aria-hidden="true">
          <Axes frame={frame} {...props} />
          {props.children(frame)}
        </svg>
      </div>
      {props.below}
    </figure>
  );
}

function Axes(props: PlotProps & { readonly frame: Frame }): JSX.Element {
  const { frame, xs, ys } = props;
  const { left, right, top, bottom } = frame;
  const across = ticks(xs[0], xs[1], right - left > 400 ? 7 : 4);
  return (
    <g class="calc-axes">
      {ticks(ys[0], ys[1], 4).map((value) => (
        <g key={value}>
          <path d={`M${left} ${frame.y(value)}H${right}`} class="calc-grid" />
          <text x={left - 6} y={frame.y(value) + 4} text-anchor="end">
            {figureText(value, 4)}
          </text>
        </g>
      ))}
      {across.map((value) => (
        <g key={value}>
          <path d={`M${frame.x(value)} ${bottom}v5`} class="calc-axis" />
          <text x={frame.x(value)} y={bottom + 18} text-anchor="middle">
            {figureText(value, 4)}
          </text>
        </g>
      ))}
      <path d={`M${left} ${top}V${bottom}H${right}`} class="calc-axis" />
      <text x={4} y={top - 12} class="calc-axis-unit">
        {props.yUnit}
      </text>
      <text x={right} y={bottom + 34} text-anchor="end" class="calc-axis-unit">
        {props.xUnit}
      </text>
    </g>
  );
}

/** Points of a line as an SVG path; a point without a figure breaks it. */
export function linePath(
  points: readonly (readonly [number, number | null])[],
  frame: Frame,
): string {
  let pen = "M";
  let path = "";
  for (const [x, y] of points) {
    if (y === null) {
      pen = "M";
      continue;
    }
    path += `${pen}${round(frame.x(x))} ${round(frame.y(y))}`;
    pen = "L";
  }
  return path;
}

/** The field between two lines over the same points. */
export function bandPath(
  points: readonly (readonly [number, number, number])[],
  frame: Frame,
): string {
  const there = points.map(([x, low]) => `${round(frame.x(x))} ${round(frame.y(low))}`);
  const back = points.map(([x, , high]) => `${round(frame.x(x))} ${round(frame.y(high))}`);
  return `M${there.join("L")}L${back.reverse().join("L")}Z`;
}

export interface EndName {
  readonly text: string;
  readonly y: number;
}

/** Names of lines at their right ends, pushed apart so that none covers another. */
export function EndNames(props: {
  readonly frame: Frame;
  readonly names: readonly EndName[];
}): JSX.Element {
  const { frame, names } = props;
  const placed = spread(
    names.map((name) => name.y - 5),
    15,
    frame.top + 10,
    frame.bottom - 4,
  );
  return (
    <g class="calc-names">
      {names.map((name, index) => (
        <text key={name.text} x={frame.right - 3} y={placed[index] ?? name.y} text-anchor="end">
          {name.text}
        </text>
      ))}
    </g>
  );
}

function round(px: number): number {
  return Math.round(px * 10) / 10;
}

/** Width of the place a drawing has, kept as it changes. [px] */
export function useWidth() {
  const holder = useRef<HTMLDivElement>(null);
  const [width, setWidth] = useState(FIRST_WIDTH);
  useLayoutEffect(() => {
    const place = holder.current;
    if (place === null) return;
    const measure = (): void => setWidth(Math.max(240, Math.min(WIDE, place.clientWidth)));
    measure();
    const watching = new ResizeObserver(measure);
    watching.observe(place);
    return () => watching.disconnect();
  }, []);
  return [holder, width] as const;
}
