/** What a rinse is expected to leave beside the published thresholds, on a scale of tens. */

import type { JSX } from "preact";
import { words } from "../../../strings/calculators";
import type { Figures, Given } from "./asking";
import { plainText } from "./numbers";
import { useWidth } from "./plot";
import { spread, tensShare } from "./scales";

const LOW = 0.001;
const HIGH = 10;
const TENS = [0.001, 0.01, 0.1, 1, 10];
const LEFT = 24;
const RIGHT = 24;
const LINE_Y = 74;

export function Ladder(props: { readonly figures: Figures; readonly given: Given }): JSX.Element {
  const { figures, given } = props;
  const [holder, width] = useWidth();
  const x = (value: number): number => LEFT + tensShare(value, LOW, HIGH) * (width - LEFT - RIGHT);
  const value = (name: string): number => Number(figures[name] ?? 0);
  const before = Number(given.concentration_pct_wv ?? 0);
  const [from, to] = [x(value("residual_mean_low_pct_wv")), x(value("residual_mean_high_pct_wv"))];
  const marks = [
    { at: x(before), text: words.picture.before },
    { at: x(value("residual_apex_pct_wv")), text: words.picture.apex_short },
    { at: (from + to) / 2, text: words.picture.mean },
  ];
  const names = spread(
    marks.map((mark) => mark.at),
    58,
    LEFT + 22,
    width - RIGHT - 22,
  );
  return (
    <figure class="calc-picture">
      <figcaption>{words.picture.ladder}</figcaption>
      <div ref={holder} class="calc-holder">
        <svg width={width} height={138} viewBox={`0 0 ${width} 138`} aria-hidden="true">
          <Thresholds x={x} value={value} />
          <path d={`M${LEFT} ${LINE_Y}H${width - RIGHT}`} class="calc-axis" />
          <rect
            class="calc-ladder-band"
            x={from}
            width={Math.max(3, to - from)}
            y={LINE_Y - 9}
            height={18}
          />
          {marks.slice(0, 2).map((mark, index) => (
            <circle
              key={mark.text}
              cx={mark.at}
              cy={LINE_Y}
              r="6"
              class={index === 0 ? "calc-ladder-before" : "calc-ladder-apex"}
            />
          ))}
          {marks.map((mark, index) => (
            <g key={mark.text} class="calc-names">
              <path
                d={`M${mark.at} ${LINE_Y - 10}L${names[index] ?? mark.at} ${LINE_Y - 24}`}
                class="calc-leader"
              />
              <text x={names[index] ?? mark.at} y={LINE_Y - 29} text-anchor="middle">
                {mark.text}
              </text>
            </g>
          ))}
          <g class="calc-axes">
            {TENS.map((ten) => (
              <g key={ten}>
                <path d={`M${x(ten)} ${LINE_Y}v6`} class="calc-axis" />
                <text x={x(ten)} y={LINE_Y + 22} text-anchor="middle">
                  {plainText(ten)}
                </text>
              </g>
            ))}
            <text x={width - RIGHT} y={18} text-anchor="end" class="calc-axis-unit">
              {words.picture.ladder_axis}
            </text>
          </g>
        </svg>
      </div>
    </figure>
  );
}

/** The two published thresholds, named under the scale. */
function Thresholds(props: {
  readonly x: (value: number) => number;
  readonly value: (name: string) => number;
}): JSX.Element {
  const [colour, precipitate] = [props.value("colour_pct_wv"), props.value("precipitate_pct_wv")];
  return (
    <g class="calc-names">
      {[
        { at: colour, text: words.picture.colour },
        { at: precipitate, text: words.picture.precipitate },
      ].map((mark) => (
        <g key={mark.text}>
          <path d={`M${props.x(mark.at)} ${LINE_Y - 18}V${LINE_Y + 34}`} class="calc-dashed" />
          <text x={props.x(mark.at)} y={LINE_Y + 48} text-anchor="middle">
            {mark.text}
          </text>
          <text x={props.x(mark.at)} y={LINE_Y + 62} text-anchor="middle" class="calc-strong">
            {plainText(mark.at)}
          </text>
        </g>
      ))}
    </g>
  );
}
