/**
 * What the guard or the app has to say: note, caution, hold. Sign and word stand beside the colour; none
 * of them lies over anything.
 */

import type { ComponentChildren, JSX } from "preact";

export type BandLevel = "note" | "caution" | "hold";

export interface BandProps {
  readonly level: BandLevel;
  readonly word: string;
  readonly children?: ComponentChildren;
  /** Buttons of a hold. */
  readonly answers?: ComponentChildren;
}

export function Band({ level, word, children, answers }: BandProps): JSX.Element {
  return (
    <div class={`band ${level}`} role={level === "note" ? "note" : "alert"}>
      <Sign level={level} />
      <span class="word">{word}</span>
      {children === undefined ? null : <div class="lines">{children}</div>}
      {answers === undefined ? null : <div class="lines choices">{answers}</div>}
    </div>
  );
}

function Sign({ level }: { readonly level: BandLevel }): JSX.Element {
  return (
    <svg viewBox="0 0 24 24" aria-hidden="true">
      {shapeOf(level)}
      <path d={level === "note" ? "M12 10.5v6.5M12 7v1.6" : "M12 7.5v6M12 16v1.6"} {...STROKE} />
    </svg>
  );
}

const STROKE = { fill: "none", stroke: "currentColor", "stroke-width": 2 } as const;

function shapeOf(level: BandLevel): JSX.Element {
  if (level === "note") return <circle cx="12" cy="12" r="9.5" {...STROKE} stroke-width={1.5} />;
  if (level === "caution") return <path d="M12 2.5 22.5 21.5H1.5Z" {...STROKE} />;
  return <path d="M7.5 1.5h9l6 6v9l-6 6h-9l-6-6v-9z" {...STROKE} />;
}
