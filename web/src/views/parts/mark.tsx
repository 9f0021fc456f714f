/** The square mark of some contents: pattern and hue of the catalogue with the letter on it. */

import type { JSX } from "preact";
import { useId } from "preact/hooks";
import { type Entry, markOf, type Part } from "../canal/marks";
import { Patterns, patternId } from "../canal/patterns";

export interface MarkProps {
  readonly contents: readonly Part[];
  readonly catalogue: readonly Entry[];
}

export function MarkTile({ contents, catalogue }: MarkProps): JSX.Element {
  const mark = markOf(contents, catalogue);
  const prefix = `tile${useId()}`.replace(/[^a-z0-9-]/gi, "-");
  return (
    <span class="mark" role="img" aria-label={mark.long}>
      <svg viewBox="0 0 36 36" preserveAspectRatio="none" aria-hidden="true">
        <Patterns prefix={prefix} marks={[mark]} />
        <rect width="36" height="36" fill={`url(#${patternId(prefix, mark)})`} />
      </svg>
      <span class="letter" aria-hidden="true">
        {mark.letter}
      </span>
    </span>
  );
}

/** A syringe's chip: its mark with name and strength beside it. */
export function SyringeChip(props: MarkProps & { readonly short?: boolean }): JSX.Element {
  const mark = markOf(props.contents, props.catalogue);
  return (
    <span class="with-mark">
      <MarkTile contents={props.contents} catalogue={props.catalogue} />
      <span>{props.short === true ? mark.short : mark.long}</span>
    </span>
  );
}
