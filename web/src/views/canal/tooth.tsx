/**
 * The tooth in section: a chamber that opens into its canals, to scale, with what is in them.
 *
 * Only draws. The level of each canal is one transform that changes once a second; nothing else
 * moves. Everything said here in marks is said in words by the caller's buttons.
 */

import type { JSX } from "preact";
import { chamberPath, outlinePath, type Placed, type ToothPicture, wallsPath } from "./geometry";
import type { Mark } from "./marks";
import { Patterns, patternId, unreachedId } from "./patterns";

/** What is drawn of one canal; `column_model.ts` computes it. */
export interface Drawn {
  readonly canal: string;
  readonly placed: Placed;
  readonly fills: readonly { readonly y: number; readonly height: number; readonly mark: Mark }[];
  readonly levelY: number;
  readonly unreached: { readonly y: number; readonly height: number } | null;
  readonly tip: { readonly y: number; readonly half: number } | null;
  readonly letter: { readonly y: number; readonly mark: Mark } | null;
  readonly blocked: boolean;
  readonly filled: boolean;
  readonly faint: boolean;
  readonly working: boolean;
}

interface ToothProps {
  readonly id: string;
  readonly picture: ToothPicture;
  readonly width: number;
  readonly height: number;
  readonly columns: readonly Drawn[];
  readonly chamber: Mark | null;
  /** Height of the letters' plates, by the distance of reading. [px] */
  readonly platePx: number;
}

const SCALE_EVERY_UM = 5000;
const TIP_PX = 9;

export function Tooth(props: ToothProps): JSX.Element {
  const { id, picture, width, height, columns, chamber } = props;
  const marks = columns.flatMap((column) => column.fills.map((fill) => fill.mark));
  const all = chamber === null ? marks : [...marks, chamber];
  const crown = chamberPath(picture, width);
  return (
    <svg
      class="cc-tooth-svg"
      width={width}
      height={height}
      viewBox={`0 0 ${width} ${height}`}
      aria-hidden="true"
      focusable="false"
    >
      <Patterns prefix={id} marks={all} />
      <clipPath id={`${id}-chamber`}>
        <path d={crown} />
      </clipPath>
      <Scale picture={picture} height={height} />
      <path d={crown} class="cc-chamber-ground" />
      {chamber !== null && (
        <rect
          y={height * 0.04}
          width={width}
          height={height}
          clip-path={`url(#${id}-chamber)`}
          fill={`url(#${patternId(id, chamber)})`}
          class="cc-fill-faint"
        />
      )}
      <path d={crown} class="cc-chamber-wall" />
      {columns.map((column) => (
        <Canal key={column.canal} id={id} column={column} platePx={props.platePx} />
      ))}
    </svg>
  );
}

/** Depth marks from the reference point, every 5 mm. */
function Scale(props: { readonly picture: ToothPicture; readonly height: number }): JSX.Element {
  const count = Math.floor(props.picture.bottomUm / SCALE_EVERY_UM);
  return (
    <g class="cc-scale">
      {Array.from({ length: count }, (_, index) => {
        const depth = (index + 1) * SCALE_EVERY_UM;
        const y = Math.min(props.height - 0.5, depth * props.picture.pxPerUm);
        return (
          <g key={depth}>
            <path d={`M0 ${y}H6`} />
            <text x="8" y={y + 3.5}>
              {depth / 1000}
            </text>
          </g>
        );
      })}
    </g>
  );
}

function Canal(props: {
  readonly id: string;
  readonly column: Drawn;
  readonly platePx: number;
}): JSX.Element {
  const { column } = props;
  const { placed } = column;
  const own = `${props.id}-${column.canal}`;
  const assumed = placed.widthAssumed || placed.orificeAssumed ? " cc-assumed" : "";
  return (
    <g class={column.faint ? "cc-canal cc-canal-faint" : "cc-canal"}>
      <clipPath id={`${own}-in`}>
        <path d={outlinePath(placed)} />
      </clipPath>
      <clipPath id={`${own}-level`}>
        <rect
          class="cc-level"
          x={placed.left}
          y="0"
          width={placed.width}
          height="4000"
          style={{ transform: `translateY(${Math.round(column.levelY * 10) / 10}px)` }}
        />
      </clipPath>
      <path d={outlinePath(placed)} class="cc-canal-ground" />
      <g clip-path={`url(#${own}-in)`}>
        <Fills id={props.id} column={column} kind="cc-fill-faint" />
        <g clip-path={`url(#${own}-level)`}>
          <Fills id={props.id} column={column} kind="cc-fill" />
        </g>
        {column.unreached !== null && (
          <rect
            x={placed.left}
            y={column.unreached.y}
            width={placed.width}
            height={column.unreached.height}
            fill={`url(#${unreachedId(props.id)})`}
          />
        )}
        {column.filled && <path d={outlinePath(placed)} class="cc-canal-filled" />}
      </g>
      {column.fills.length > 0 && (
        <path
          d={`M${placed.axis - placed.halfAtOrifice - 3} 0h${placed.halfAtOrifice * 2 + 6}`}
          class="cc-level-line"
          style={{ transform: `translateY(${Math.round(column.levelY * 10) / 10}px)` }}
        />
      )}
      <path d={wallsPath(placed)} class={`cc-canal-wall${assumed}`} />
      {placed.endAssumed && (
        <path d={`M${placed.axis - 10} ${placed.endY - 1}h20`} class="cc-canal-wall cc-assumed" />
      )}
      {column.blocked && (
        <path d={`M${placed.axis - 9} ${placed.endY - 26}l18 18m0 -18l-18 18`} class="cc-blocked" />
      )}
      {column.tip !== null && <Tip placed={placed} tip={column.tip} />}
      {column.letter !== null && (
        <Plate
          x={placed.axis}
          y={column.letter.y}
          mark={column.letter.mark}
          height={props.platePx}
        />
      )}
      {column.working && (
        <path
          d={`M${placed.axis + placed.halfAtOrifice + 8} ${placed.orificeY + 6}q5 6 0 12t0 12t0 12`}
          class="cc-working"
        />
      )}
    </g>
  );
}

function Fills(props: {
  readonly id: string;
  readonly column: Drawn;
  readonly kind: string;
}): JSX.Element {
  const { placed, fills } = props.column;
  return (
    <g class={props.kind}>
      {fills.map((fill) => (
        <rect
          key={fill.y}
          x={placed.left}
          y={fill.y}
          width={placed.width}
          height={fill.height}
          fill={`url(#${patternId(props.id, fill.mark)})`}
        />
      ))}
    </g>
  );
}

/** The needle's tip: a wedge at the wall that points into the canal. */
function Tip(props: {
  readonly placed: Placed;
  readonly tip: { readonly y: number; readonly half: number };
}): JSX.Element {
  const x = props.placed.axis + props.tip.half + 2;
  const y = props.tip.y;
  return <path d={`M${x} ${y}l${TIP_PX} ${-TIP_PX / 2}v${TIP_PX}Z`} class="cc-tip" />;
}

/** The letter on a plate of its own, so that no pattern lies behind it. */
function Plate(props: {
  readonly x: number;
  readonly y: number;
  readonly mark: Mark;
  readonly height: number;
}): JSX.Element {
  const { x, y, mark, height } = props;
  const width = Math.max(height, (mark.letter.length * 0.6 + 0.4) * height);
  return (
    <g class="cc-plate">
      <rect
        x={x - width / 2}
        y={y - height / 2}
        width={width}
        height={height}
        style={{ stroke: mark.ground }}
      />
      <text x={x} y={y + height / 4} text-anchor="middle" font-size={height * 0.7}>
        {mark.letter}
      </text>
    </g>
  );
}
