/**
 * Numbers as typed and as shown. A comma is read as a decimal comma and shown back; what can be read in
 * two ways is asked. Shown: rounded to what the figure carries, no trailing zeros, thousands with a comma.
 */

import { words } from "../../../strings/calculators";

export const NBSP = "\u00a0";

export type Read =
  | { readonly is: "empty" }
  | { readonly is: "number"; readonly value: number; readonly asShown: boolean }
  | { readonly is: "two_ways"; readonly values: readonly [number, number] }
  | { readonly is: "refused" };

const PLAIN = /^-?\d{1,9}(?:[.,]\d{1,9})?$/;
const TWO_WAYS = /^-?[1-9]\d{0,2},\d{3}$/;
const GROUPED = [
  [/^-?[1-9]\d{0,2}(?:,\d{3})+\.\d{1,9}$/, /,/g],
  [/^-?[1-9]\d{0,2}(?:\.\d{3})+,\d{1,9}$/, /\./g],
  [/^-?[1-9]\d{0,2}(?:,\d{3}){2,}$/, /,/g],
  [/^-?[1-9]\d{0,2}(?:[ \u00a0\u202f]\d{3})+(?:[.,]\d{1,9})?$/, /[ \u00a0\u202f]/g],
] as const;

/** A number in either decimal spelling; `asShown` = it was typed the way it is shown. */
export function readNumber(text: string): Read {
  const written = text.trim().replace(/^[−–]/, "-");
  if (written === "") return { is: "empty" };
  if (TWO_WAYS.test(written)) {
    const values = [Number(written.replace(",", ".")), Number(written.replace(",", ""))] as const;
    return { is: "two_ways", values };
  }
  const found = GROUPED.find(([form]) => form.test(written));
  const plain = found === undefined ? written : written.replace(found[1], "");
  if (!PLAIN.test(plain)) return { is: "refused" };
  const value = Number(plain.replace(",", "."));
  return { is: "number", value, asShown: written === plainText(value) };
}

/** A number as a field holds it: a point, no grouping, no trailing zeros. */
export function plainText(value: number): string {
  return String(Number(value.toFixed(9)));
}

export type Toward = "nearest" | "down" | "up";

/** Below this a figure is said to be less than it, and no digits are pretended. */
const LEAST_SHOWN = 0.0001;
const EXACT = 1e-9;

/** A figure with so many significant digits, toward the side that is asked for: 13315 with 3 is 13,300. */
export function figureText(value: number, digits = 3, toward: Toward = "nearest"): string {
  if (!Number.isFinite(value)) return words.figure.none;
  if (value > 0 && value < LEAST_SHOWN) return words.figure.less_than(String(LEAST_SHOWN));
  return grouped(roundedTo(value, digits, toward));
}

/** A value rounded to significant digits. */
export function roundedTo(value: number, digits: number, toward: Toward = "nearest"): number {
  if (value === 0) return 0;
  const power = digits - 1 - Math.floor(Math.log10(Math.abs(value)));
  return atPlace(value, power, toward);
}

/** A length to a tenth of a millimetre, toward the side that is asked for. */
export function tenthsText(value: number, toward: Toward): string {
  return grouped(atPlace(value, 1, toward));
}

function atPlace(value: number, power: number, toward: Toward): number {
  const scale = 10 ** Math.abs(power);
  const scaled = power >= 0 ? value * scale : value / scale;
  const whole =
    toward === "down"
      ? Math.floor(scaled + EXACT)
      : toward === "up"
        ? Math.ceil(scaled - EXACT)
        : Math.round(scaled);
  return Number((power >= 0 ? whole / scale : whole * scale).toFixed(Math.max(0, power)));
}

function grouped(value: number): string {
  const [whole = "0", rest] = String(value).split(".");
  const marked = whole.replace(/\B(?=(\d{3})+(?!\d))/g, ",");
  return rest === undefined ? marked : `${marked}.${rest}`;
}

/** Low to high, once where both read alike; ends are rounded outward. */
export function bandText(low: number, high: number, unit: string, digits = 3): string {
  const from = figureText(low, digits, "down");
  const to = figureText(high, digits, "up");
  return from === to ? withUnit(from, unit) : words.figure.band(from, withUnit(to, unit));
}

/** Days or the like from low to high, each cut to the whole: the later one is not made later by rounding. */
export function wholeBandText(low: number, high: number, unit: string): string {
  const [from, to] = [grouped(Math.floor(low)), grouped(Math.floor(high))];
  return from === to ? withUnit(from, unit) : words.figure.band(from, withUnit(to, unit));
}

/** A number that never leaves its unit. */
export function withUnit(number: string, unit: string): string {
  return unit === "" ? number : `${number}${NBSP}${unit.replaceAll(" ", NBSP)}`;
}

const UNITS: readonly (readonly [RegExp, string])[] = [
  [/^seconds_per_ml$/, "s/mL"],
  [/(^|_)pct_wv$/, "% w/v"],
  [/(^|_)pct_ww$/, "% w/w"],
  [/_pct_min$/, "% min"],
  [/_ml_per_min$/, "mL/min"],
  [/_g_per_ml$/, "g/mL"],
  [/_mg_per_l$/, "mg/L"],
  [/_g_per_l$/, "g/L"],
  [/_mol_per_l$/, "mol/L"],
  [/_kg_per_m3$/, "kg/m³"],
  [/_mpa_s$/, "mPa s"],
  [/_per_min$/, "per min"],
  [/_mmhg$/, "mmHg"],
  [/_kpa$/, "kPa"],
  [/_mm2$/, "mm²"],
  [/_mm$/, "mm"],
  [/_ml$/, "mL"],
  [/_ul$/, "µL"],
  [/_n$/, "N"],
  [/celsius$/, "°C"],
  [/_pct$/, "%"],
  [/(^|_)seconds(_|$)/, "s"],
  [/(^|_)minutes$/, "min"],
  [/(^|_)days(_|$)/, "days"],
  [/^degrees$/, "degrees"],
];

/** The unit in a quantity's name as people write it; "" = it has none. */
export function unitOf(name: string): string {
  return UNITS.find(([ending]) => ending.test(name))?.[1] ?? "";
}
