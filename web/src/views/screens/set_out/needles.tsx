/** Each canal with each needle: where it is loose, where its stop goes, what it is not expected to reach. */

import type { JSX } from "preact";
import { words } from "../../../strings/set_out";
import { canalText } from "../../canal/amounts";
import type { CanalOut, NeedleHad, NeedleOut } from "./shapes";

const own = words.needles;
const NBSP = "\u00a0";

export function Needles({ canals }: { readonly canals: readonly CanalOut[] }): JSX.Element {
  return (
    <section aria-labelledby="set-out-needles">
      <h2 id="set-out-needles">{own.title}</h2>
      <table class="set-out-table">
        <thead>
          <tr>
            <th scope="col">{own.needle}</th>
            <th scope="col">{own.loose}</th>
            <th scope="col">{own.stop}</th>
            <th scope="col">{own.bare}</th>
          </tr>
        </thead>
        {canals.map((canal) => (
          <tbody key={canal.canal}>
            <tr class="set-out-canal">
              <th scope="rowgroup" colSpan={4}>
                <b>{canalText(canal.canal)}</b> <span class="small">{canalLine(canal)}</span>
              </th>
            </tr>
            {canal.needles.map((fit) => (
              <Fit key={needleText(fit)} fit={fit} />
            ))}
          </tbody>
        ))}
      </table>
      <p class="small soft">{own.binds}</p>
    </section>
  );
}

function Fit({ fit }: { readonly fit: NeedleOut }): JSX.Element {
  const { shortest_of_wl_mm, short_of_wl_mm, stop_mm, not_reached_mm, not_reached_ul } = fit;
  if (
    shortest_of_wl_mm === null ||
    short_of_wl_mm === null ||
    stop_mm === null ||
    not_reached_mm === null ||
    not_reached_ul === null
  ) {
    return (
      <tr>
        <th scope="row">{needleText(fit)}</th>
        <td colSpan={3}>{own.nowhere}</td>
      </tr>
    );
  }
  const bare = own.bare_part(mm(not_reached_mm), ul(not_reached_ul));
  return (
    <tr>
      <th scope="row">{needleText(fit)}</th>
      <td>{own.short(mm(shortest_of_wl_mm))}</td>
      <td>
        {mm(stop_mm)} ({own.short(mm(short_of_wl_mm))})
      </td>
      <td>{not_reached_mm === 0 ? own.none : bare}</td>
    </tr>
  );
}

/** A needle as it is spoken: "30 G, side-vented". */
export function needleText({ needle_gauge, needle_tip }: NeedleHad): string {
  return own.gauge(String(needle_gauge), own.tips[needle_tip]);
}

function canalLine(canal: CanalOut): string {
  if (canal.volume_ul === null || canal.exchanges_per_ml === null) {
    const names: { readonly [field: string]: string } = own.missing;
    return own.unknown(canal.missing.map((field) => names[field] ?? field).join(", "));
  }
  const volume = own.volume(ul(canal.volume_ul), canal.exchanges_per_ml.toFixed(0));
  return [
    canal.orifice_um === null ? `${volume}; ${own.from_reference}.` : `${volume}.`,
    ...(canal.exchange_at_wl_expected === false ? [own.small] : []),
  ].join(" ");
}

function mm(length: number): string {
  return `${Number(length.toFixed(1))}${NBSP}mm`;
}

function ul(volume: number): string {
  return `${volume < 1 ? volume.toFixed(2) : volume.toFixed(1)}${NBSP}µL`;
}
