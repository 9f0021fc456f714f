/**
 * The patterns of the contents as SVG definitions. Each differs from the others in greyscale.
 *
 * `UNREACHED` is the light hatch of the part that fresh solution is not expected to reach.
 */

import type { JSX } from "preact";
import type { Mark } from "./marks";

const TILE = 12;

/** Definition ids carry a prefix, since ids are global to the page. */
export function patternId(prefix: string, mark: Mark): string {
  return `${prefix}-${mark.key}`;
}

export function unreachedId(prefix: string): string {
  return `${prefix}-unreached`;
}

/** `<pattern>` definitions of the marks used in one drawing. */
export function Patterns(props: {
  readonly prefix: string;
  readonly marks: readonly Mark[];
}): JSX.Element {
  const unique = [...new Map(props.marks.map((mark) => [mark.key, mark])).values()];
  return (
    <defs>
      {unique.map((mark) => (
        <pattern
          key={mark.key}
          id={patternId(props.prefix, mark)}
          width={TILE}
          height={TILE}
          patternUnits="userSpaceOnUse"
        >
          <rect width={TILE} height={TILE} fill={mark.ground} />
          <Strokes pattern={mark.pattern} ink={mark.stroke} />
        </pattern>
      ))}
      <pattern id={unreachedId(props.prefix)} width="7" height="7" patternUnits="userSpaceOnUse">
        <path d="M-1 8L8 -1M-1 1L1 -1M6 8L8 6" class="cc-unreached-hatch" />
      </pattern>
    </defs>
  );
}

function Strokes(props: { readonly pattern: string; readonly ink: string }): JSX.Element | null {
  const line = { stroke: props.ink, "stroke-width": 1.8, fill: "none", "stroke-opacity": 0.85 };
  const solid = { fill: props.ink, "fill-opacity": 0.85 };
  switch (props.pattern) {
    case "diagonal":
      return <path d="M-2 14L14 -2M-2 2L2 -2M10 14L14 10" {...line} />;
    case "dots":
      return (
        <g {...solid}>
          <circle cx="3" cy="3" r="1.7" />
          <circle cx="9" cy="9" r="1.7" />
        </g>
      );
    case "crosses":
      return <path d="M3 6H9M6 3V9" {...line} />;
    case "waves":
      return <path d="M0 4Q3 0 6 4T12 4M0 10Q3 6 6 10T12 10" {...line} />;
    case "dashes":
      return <path d="M0 3H6M6 9H12" {...line} />;
    case "border":
      return <path d="M0 0H12V12" {...line} stroke-opacity={0.45} />;
    case "checker":
      return <path d="M0 0H6V6H0ZM6 6H12V12H6Z" {...solid} fill-opacity={0.55} />;
    case "grid":
      return <path d="M0 6H12M6 0V12" {...line} />;
    case "verticals":
      return <path d="M3 0V12M9 0V12" {...line} />;
    case "rings":
      return <circle cx="6" cy="6" r="3.2" {...line} />;
    case "triangles":
      return <path d="M6 2L10 9H2Z" {...solid} />;
    default:
      return null;
  }
}
