/**
 * A canal in section, to scale from the reference point to working length: with a needle in it, or a place,
 * and the part that fresh solution is not expected to reach hatched lighter, as everywhere in this app.
 */

import type { JSX } from "preact";
import { useId } from "preact/hooks";
import { words } from "../../../strings/calculators";
import { Patterns, unreachedId } from "../../canal/patterns";
import { useWidth } from "./plot";
import { canalPath, type Drawing, drawingOf, type Shape, spread } from "./scales";

export interface Said {
  /** Depth it is about. [mm] */
  readonly depth: number;
  readonly text: string;
}

export interface NeedleDrawn {
  readonly outerMm: number;
  /** From the reference point. [mm] */
  readonly tipMm: number;
  readonly openEnded: boolean;
}

interface Props {
  readonly shape: Shape;
  readonly said: readonly Said[];
  readonly needle?: NeedleDrawn | null;
  /** A tip whose needle is not known: a wedge at the wall. [mm] */
  readonly tip?: number | null;
  /** From here down nothing fresh is expected. [mm] */
  readonly unreachedFrom?: number | null;
  /** A place looked at. [mm] */
  readonly place?: number | null;
}

const TOP = 30;
const BOTTOM = 26;
const SCALE = 40;
const ROOM_MOST = 128;
const ROOM_LEAST = 88;
const NARROW = 420;
const HEIGHT = 380;

export function CanalPicture(props: Props): JSX.Element {
  const { shape, said, needle = null } = props;
  const id = useId().replace(/[^a-z0-9]/gi, "");
  const [holder, width] = useWidth();
  const room = width < NARROW ? ROOM_LEAST : ROOM_MOST;
  const axis = SCALE + 6 + room / 2;
  const drawing = drawingOf(shape, needle?.outerMm ?? 0, axis, TOP, HEIGHT, room);
  const height = TOP + HEIGHT + BOTTOM;
  const outline = canalPath(shape, drawing, true);
  const end = drawing.y(shape.workingLength);
  return (
    <figure class="calc-picture">
      <figcaption>{words.picture.canal}</figcaption>
      <div ref={holder} class="calc-holder">
        <svg width={width} height={height} viewBox={`0 0 ${width} ${height}`} aria-hidden="true">
          <Patterns prefix={id} marks={[]} />
          <clipPath id={`${id}-in`}>
            <path d={outline} />
          </clipPath>
          <Depths drawing={drawing} workingLength={shape.workingLength} />
          <Reference drawing={drawing} room={room} />
          {needle !== null && (
            <Shaft shape={shape} drawing={drawing} needle={needle} kind="calc-bite" />
          )}
          <path d={outline} class="calc-lumen" />
          <g clip-path={`url(#${id}-in)`}>
            {props.unreachedFrom != null && (
              <rect
                x={axis - room}
                width={2 * room}
                y={drawing.y(props.unreachedFrom)}
                height={Math.max(0, end - drawing.y(props.unreachedFrom))}
                fill={`url(#${unreachedId(id)})`}
              />
            )}
            {props.place != null && (
              <rect
                x={axis - room}
                width={2 * room}
                y={drawing.y(props.place)}
                height={end - drawing.y(props.place)}
                class="calc-below"
              />
            )}
            {needle !== null && (
              <Shaft shape={shape} drawing={drawing} needle={needle} kind="calc-shaft" />
            )}
          </g>
          <Chamber shape={shape} drawing={drawing} room={room} />
          {needle !== null && <AboveOrifice shape={shape} drawing={drawing} needle={needle} />}
          <path d={canalPath(shape, drawing, false)} class="calc-wall" />
          {props.tip != null && (
            <path
              d={`M${axis + drawing.half(widthAt(shape, props.tip)) + 2} ${drawing.y(props.tip)}l10 -5v10Z`}
              class="calc-wedge"
            />
          )}
          <Names shape={shape} drawing={drawing} said={said} height={height} room={room} />
        </svg>
      </div>
      <p class="small soft">
        {drawing.times > 1 ? words.picture.widths(drawing.times) : words.picture.widths_true}
      </p>
    </figure>
  );
}

/** Width of the drawn canal at a depth, between its points. [mm] */
function widthAt(shape: Shape, depth: number): number {
  const from = shape.workingLength - depth;
  const next = shape.points.findIndex(([distance]) => distance >= from);
  const [high, low] = [shape.points[next], shape.points[next - 1]];
  if (high === undefined) return shape.points.at(-1)?.[1] ?? 0;
  if (low === undefined) return high[1];
  return low[1] + ((high[1] - low[1]) * (from - low[0])) / (high[0] - low[0]);
}

function orificeOf(shape: Shape): number {
  return shape.workingLength - (shape.points.at(-1)?.[0] ?? shape.workingLength);
}

function Depths(props: { readonly drawing: Drawing; readonly workingLength: number }): JSX.Element {
  const { drawing, workingLength } = props;
  return (
    <g class="calc-axes">
      <path d={`M${SCALE} ${drawing.y(0)}V${drawing.y(workingLength)}`} class="calc-axis" />
      <text x={4} y={14} class="calc-axis-unit">
        {words.picture.depth_axis}
      </text>
      {Array.from({ length: Math.floor(workingLength / 5) + 1 }, (_, index) => (
        <g key={index * 5}>
          <path d={`M${SCALE} ${drawing.y(index * 5)}h-5`} class="calc-axis" />
          <text x={SCALE - 8} y={drawing.y(index * 5) + 4} text-anchor="end">
            {index * 5}
          </text>
        </g>
      ))}
    </g>
  );
}

function Reference(props: { readonly drawing: Drawing; readonly room: number }): JSX.Element {
  const { drawing, room } = props;
  const y = drawing.y(0);
  return <path d={`M${SCALE} ${y}H${drawing.axis + room / 2 + 8}`} class="calc-dashed" />;
}

/** The space above the orifice, which is not counted as canal. */
function Chamber(props: {
  readonly shape: Shape;
  readonly drawing: Drawing;
  readonly room: number;
}): JSX.Element | null {
  const { shape, drawing, room } = props;
  const orifice = orificeOf(shape);
  if (orifice < 0.01) return null;
  const half = drawing.half(shape.points.at(-1)?.[1] ?? 0);
  const out = Math.min(room / 2 + 6, half + 22);
  const [top, bottom] = [drawing.y(0), drawing.y(orifice)];
  return (
    <path
      d={`M${drawing.axis - out} ${top}L${drawing.axis - half} ${bottom}M${drawing.axis + out} ${top}L${drawing.axis + half} ${bottom}`}
      class="calc-wall calc-faint"
    />
  );
}

function Shaft(props: {
  readonly shape: Shape;
  readonly drawing: Drawing;
  readonly needle: NeedleDrawn;
  readonly kind: string;
}): JSX.Element {
  const { drawing, needle, kind } = props;
  const half = drawing.half(needle.outerMm);
  const tip = drawing.y(needle.tipMm);
  const top = drawing.y(orificeOf(props.shape));
  const turn = needle.openEnded ? 0 : Math.min(half, 10);
  const [left, right] = [drawing.axis - half, drawing.axis + half];
  return (
    <g class={kind}>
      <path
        d={`M${left} ${top}V${tip - turn}Q${left} ${tip} ${left + turn} ${tip}H${right - turn}Q${right} ${tip} ${right} ${tip - turn}V${top}`}
      />
      {!needle.openEnded && (
        <rect
          class="calc-vent"
          x={right - half * 0.7}
          y={tip - turn - 22}
          width={half * 0.7}
          height={14}
        />
      )}
    </g>
  );
}

/** The needle above the canal, and the stop at the reference point. */
function AboveOrifice(props: {
  readonly shape: Shape;
  readonly drawing: Drawing;
  readonly needle: NeedleDrawn;
}): JSX.Element {
  const { shape, drawing, needle } = props;
  const half = drawing.half(needle.outerMm);
  const bottom = drawing.y(Math.min(orificeOf(shape), needle.tipMm));
  return (
    <g class="calc-shaft">
      <path d={`M${drawing.axis - half} ${bottom}V4H${drawing.axis + half}V${bottom}`} />
      <rect
        class="calc-stop"
        x={drawing.axis - half - 14}
        width={2 * half + 28}
        y={drawing.y(0) - 9}
        height={9}
      />
    </g>
  );
}

/** What is said of depths, beside them; a thin line leads from each to its own. */
function Names(props: {
  readonly shape: Shape;
  readonly drawing: Drawing;
  readonly said: readonly Said[];
  readonly height: number;
  readonly room: number;
}): JSX.Element {
  const { shape, drawing, said, height, room } = props;
  const left = drawing.axis + room / 2 + 22;
  const places = spread(
    said.map((one) => drawing.y(one.depth)),
    18,
    TOP,
    height - 10,
  );
  return (
    <g class="calc-names">
      {said.map((one, index) => {
        const y = drawing.y(one.depth);
        const place = places[index] ?? y;
        const from = drawing.axis + Math.max(8, drawing.half(widthAt(shape, one.depth))) + 3;
        return (
          <g key={one.text}>
            <path d={`M${from} ${y}H${left - 14}L${left - 4} ${place}`} class="calc-leader" />
            <text x={left} y={place + 4}>
              {one.text}
            </text>
          </g>
        );
      })}
    </g>
  );
}
