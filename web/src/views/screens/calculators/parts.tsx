/** Two parts of one volume, to scale. */

import type { JSX } from "preact";
import { useId } from "preact/hooks";
import { words } from "../../../strings/calculators";
import type { Figures, Given } from "./asking";
import { figureText, withUnit } from "./numbers";
import { useWidth } from "./plot";

const LEFT = 2;
const HEIGHT = 56;

export function Parts(props: {
  readonly calculator: "dilute" | "mix";
  readonly figures: Figures;
  readonly given: Given;
}): JSX.Element | null {
  const { calculator, figures, given } = props;
  const id = useId().replace(/[^a-z0-9]/gi, "");
  const [holder, width] = useWidth();
  const [first, second] =
    calculator === "dilute"
      ? (["stock_ml", "diluent_ml"] as const)
      : (["first_ml", "second_ml"] as const);
  const one = Number(figures[first] ?? given[first] ?? 0);
  const other = Number(figures[second] ?? given[second] ?? 0);
  if (!(one + other > 0)) return null;
  const cut = LEFT + (one / (one + other)) * (width - 2 * LEFT);
  const { stock, diluent, first: firstWord, second: secondWord } = words.picture;
  const [oneWord, otherWord] = calculator === "dilute" ? [stock, diluent] : [firstWord, secondWord];
  return (
    <figure class="calc-picture">
      <figcaption>{words.picture.parts}</figcaption>
      <div ref={holder} class="calc-holder">
        <svg
          width={width}
          height={HEIGHT + 28}
          viewBox={`0 0 ${width} ${HEIGHT + 28}`}
          aria-hidden="true"
        >
          <pattern id={`${id}-lines`} width="9" height="9" patternUnits="userSpaceOnUse">
            <path d="M-1 10L10 -1M-2 2L2 -2M7 11L11 7" class="calc-stroke" />
          </pattern>
          <rect
            x={LEFT}
            y={1}
            width={Math.max(0, cut - LEFT)}
            height={HEIGHT}
            fill={`url(#${id}-lines)`}
          />
          <rect x={LEFT} y={1} width={width - 2 * LEFT} height={HEIGHT} class="calc-outline" />
          <path d={`M${cut} 1V${HEIGHT + 1}`} class="calc-outline" />
          <text x={LEFT} y={HEIGHT + 20}>
            {oneWord} {withUnit(figureText(one), "mL")}
          </text>
          <text x={width - LEFT} y={HEIGHT + 20} text-anchor="end">
            {otherWord} {withUnit(figureText(other), "mL")}
          </text>
        </svg>
      </div>
    </figure>
  );
}
