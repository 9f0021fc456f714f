/** What is shown of each answer and in which order; figures by the server's names. */

import type { Figures } from "./asking";
import type { Calculator } from "./forms";
import {
  bandText,
  figureText,
  type Toward,
  tenthsText,
  unitOf,
  wholeBandText,
  withUnit,
} from "./numbers";

export interface Row {
  readonly name: string;
  readonly text: string;
  readonly head: boolean;
}

interface Shown {
  /** Names the row's words; the figure itself where there is one. */
  readonly name: string;
  readonly head?: boolean;
  readonly digits?: number;
  readonly toward?: Toward;
  /** A length that a rule is set by. */
  readonly tenths?: boolean;
  /** A band that is cut to whole numbers. */
  readonly whole?: boolean;
  /** Low and high of a band. */
  readonly band?: readonly [string, string];
  readonly times?: number;
  readonly unit?: string;
}

const four = { digits: 4 } as const;
const head = { head: true } as const;

const SHOWN: { readonly [name in Calculator]: readonly Shown[] } = {
  strength: [
    { name: "concentration_pct_wv", ...head, ...four },
    { name: "concentration_pct_ww", ...four },
    { name: "chlorine_g_per_l", ...four },
    { name: "chlorine_mg_per_l", ...four },
    { name: "chlorine_pct_wv", ...four },
    { name: "chlorine_pct_ww", ...four },
    { name: "degrees", ...four },
    { name: "molar_mol_per_l" },
    { name: "density_g_per_ml", ...four },
    { name: "hypochlorous_share", times: 100, unit: "%" },
  ],
  dilute: [
    { name: "stock_ml", ...head },
    { name: "diluent_ml", ...head },
    { name: "stock_pct_wv", ...four },
    { name: "target_pct_wv", ...four },
  ],
  mix: [
    { name: "first_ml", ...head },
    { name: "second_ml", ...head },
    { name: "concentration_pct_wv", ...head, ...four },
    { name: "volume_ml", ...four },
  ],
  storage: [
    { name: "left", band: ["low_pct_wv", "remaining_pct_wv"], ...head },
    {
      name: "tolerance_day",
      band: ["days_to_tolerance_low", "days_to_tolerance"],
      whole: true,
      ...head,
    },
    { name: "tolerance_pct_wv", ...four },
    { name: "remaining_share_pct" },
    { name: "half_life_days" },
  ],
  canal: [
    { name: "volume_ul", ...head },
    { name: "exchanges", ...head },
    { name: "below_ul" },
    { name: "share_below_pct" },
    { name: "diameter_mm" },
    { name: "section_mm2" },
    { name: "length_mm" },
  ],
  needle: [
    { name: "shortest_of_wl_mm", tenths: true, toward: "up", ...head },
    { name: "stop_mm", tenths: true, toward: "down", ...head },
    { name: "not_reached_mm", tenths: true, toward: "up", ...head },
    { name: "not_reached_ul", digits: 2, toward: "up" },
    { name: "outer_max_mm" },
    { name: "reach_mm" },
    { name: "smallest_size_1_mm", unit: "" },
    { name: "smallest_size_3_mm", unit: "" },
  ],
  flow: [
    { name: "pressure", band: ["pressure_low_kpa", "pressure_high_kpa"], digits: 2, ...head },
    { name: "force", band: ["force_low_n", "force_high_n"], digits: 2, ...head },
    {
      name: "back_pressure",
      band: ["back_pressure_low_mmhg", "back_pressure_high_mmhg"],
      digits: 2,
      ...head,
    },
    { name: "flow_ml_per_min" },
    { name: "seconds_per_ml" },
    { name: "refills", ...four },
    { name: "pressure_kpa", digits: 2 },
    { name: "back_pressure_mmhg", digits: 2 },
    { name: "reynolds", digits: 2 },
  ],
  rinse: [
    { name: "residual_apex_pct_wv", digits: 2, toward: "up", ...head },
    {
      name: "residual_mean",
      band: ["residual_mean_low_pct_wv", "residual_mean_high_pct_wv"],
      digits: 2,
      ...head,
    },
    { name: "not_reached_mm", tenths: true, toward: "up" },
    { name: "residual_mean_pct_wv", digits: 2 },
    { name: "blotting_cycles", ...four },
    { name: "colour_pct_wv" },
    { name: "precipitate_pct_wv" },
  ],
  exposure: [
    { name: "exposure", band: ["low_pct_min", "nominal_pct_min"], ...head },
    { name: "renewal_gain_pct_min", toward: "down" },
    { name: "consumption", band: ["consumption_low_per_min", "consumption_high_per_min"] },
  ],
  warmth: [
    { name: "after_celsius", ...head },
    { name: "seconds_above_limit", digits: 2, toward: "down", ...head },
    { name: "rate_ratio", band: ["rate_ratio_low", "rate_ratio_high"], digits: 2 },
    { name: "viscosity_mpa_s", digits: 2 },
  ],
};

/** Figures that a picture or the words around it show instead. */
const DRAWN = new Set([
  "source",
  "cautions",
  "points_mm",
  "marks",
  "references",
  "extrapolated",
  "binds",
  "below_colour",
  "force_n",
]);

/** What is not said of a position where the needle would bind: nobody is to set a stop for it. */
const WHERE_IT_BINDS = ["stop_mm", "not_reached_mm", "not_reached_ul"];

/** The rows of an answer. A figure that nobody here knows is shown under its own name. */
export function rowsOf(calculator: Calculator, figures: Figures): readonly Row[] {
  const shown = SHOWN[calculator].filter(
    (show) => figures.binds !== true || !WHERE_IT_BINDS.includes(show.name),
  );
  const rows = shown.flatMap((show) => rowOf(show, figures));
  const used = new Set(shown.flatMap((show) => [show.name, ...(show.band ?? [])]));
  const left = figures.binds === true ? WHERE_IT_BINDS : [];
  const others = Object.keys(figures).filter(
    (name) => !used.has(name) && !DRAWN.has(name) && !left.includes(name),
  );
  return [...rows, ...others.flatMap((name) => rowOf({ name }, figures))];
}

/** Names this file knows words for, of one calculator. */
export function rowNames(calculator: Calculator): readonly string[] {
  return SHOWN[calculator].map((show) => show.name);
}

function rowOf(show: Shown, figures: Figures): readonly Row[] {
  const { name, digits = 3, toward = "nearest" } = show;
  const isHead = show.head === true;
  if (show.band !== undefined) {
    const [low, high] = [figures[show.band[0]], figures[show.band[1]]];
    if (typeof low !== "number" || typeof high !== "number") return [];
    const unit = show.unit ?? unitOf(show.band[1]);
    const text =
      show.whole === true ? wholeBandText(low, high, unit) : bandText(low, high, unit, digits);
    return [{ name, text, head: isHead }];
  }
  const value = figures[name];
  if (typeof value !== "number") return [];
  const scaled = value * (show.times ?? 1);
  const number =
    show.tenths === true ? tenthsText(scaled, toward) : figureText(scaled, digits, toward);
  return [{ name, text: withUnit(number, show.unit ?? unitOf(name)), head: isHead }];
}

/** How a source was come by, in the tags' own words, in the order met. */
export const TAGS = ["found", "memory", "derived", "choice", "definition"] as const;
export type Tag = (typeof TAGS)[number];

export function tagsOf(sources: readonly string[]): readonly Tag[] {
  const text = sources.join(" ");
  return TAGS.filter((tag) => new RegExp(`\\b${tag}\\b`).test(text));
}
