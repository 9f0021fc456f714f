/** What models expect beside what was measured: exposure, and what a rinse may have left. */

import "../set_out/set_out.css";
import type { JSX } from "preact";
import { words } from "../../../strings/expected";
import { canalText } from "../../canal/amounts";
import type { ExpectedFigures, ExposureRow } from "./report";

export function Expected({ figures }: { readonly figures: ExpectedFigures }): JSX.Element | null {
  const { exposures, residuals } = figures;
  if (exposures.length === 0 && residuals.length === 0) return null;
  return (
    <section aria-labelledby="review-expected">
      <h2 id="review-expected">{words.title}</h2>
      {exposures.length > 0 && <Exposures rows={exposures} />}
      {residuals.length > 0 && (
        <>
          <h3>{words.residual.title}</h3>
          <ul>
            {residuals.map((text) => (
              <li key={text}>{text}</li>
            ))}
          </ul>
          <p class="small soft">{words.residual.level}</p>
        </>
      )}
    </section>
  );
}

function Exposures({ rows }: { readonly rows: readonly ExposureRow[] }): JSX.Element {
  const own = words.exposure;
  return (
    <>
      <h3>{own.title}</h3>
      <table class="set-out-table">
        <thead>
          <tr>
            <th scope="col">{own.canal}</th>
            <th scope="col">{own.anywhere}</th>
            <th scope="col">{own.last_3mm}</th>
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => (
            <tr key={`${row.site} ${row.irrigant}`}>
              <th scope="row">{canalText(row.site)}</th>
              <td>{bandText(row.low_pct_min, row.nominal_pct_min, row.at_least)}</td>
              <td>
                {bandText(row.last_3mm_low_pct_min, row.last_3mm_nominal_pct_min, row.at_least)}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      <p class="small soft">{own.band}</p>
    </>
  );
}

function bandText(low: number | null, nominal: number | null, atLeast: boolean): string {
  const own = words.exposure;
  if (low === null || nominal === null) return own.unknown;
  const figure = own.figure(low.toFixed(1), nominal.toFixed(1));
  return atLeast ? own.at_least(figure) : figure;
}
