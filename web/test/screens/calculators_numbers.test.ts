import { expect, test } from "vitest";
import {
  bandText,
  figureText,
  readNumber,
  tenthsText,
  unitOf,
  wholeBandText,
  withUnit,
} from "../../src/views/screens/calculators/numbers";

const NBSP = "\u00a0";

test.each([
  ["2.5", 2.5, true],
  ["2,5", 2.5, false],
  ["0,125", 0.125, false],
  ["0.125", 0.125, true],
  [" 21 ", 21, true],
  ["21.0", 21, false],
  ["1,000.5", 1000.5, false],
  ["1.000,5", 1000.5, false],
  ["1 000", 1000, false],
  ["1,000,000", 1_000_000, false],
  ["−3", -3, true],
])("%s is read as %d", (text, value, asShown) => {
  expect(readNumber(text)).toEqual({ is: "number", value, asShown });
});

test.each([
  ["1,000", [1, 1000]],
  ["5,250", [5.25, 5250]],
  ["50,000", [50, 50_000]],
])("%s can be read in two ways and is asked, never guessed", (text, values) => {
  expect(readNumber(text)).toEqual({ is: "two_ways", values });
});

test.each(["5 %", "2.5.1", "1,0,0", "1e3", "NaN", "Infinity", ".", "-", "2,", "3–4", "10 00"])(
  "%s is no number",
  (text) => {
    expect(readNumber(text)).toEqual({ is: "refused" });
  },
);

test("nothing typed is empty, not nought", () => {
  expect(readNumber("  ")).toEqual({ is: "empty" });
});

test.each([
  [4.8015423, 3, "4.8"],
  [13.3149, 3, "13.3"],
  [5.25, 4, "5.25"],
  [50_012.4, 4, "50,010"],
  [0.02345, 2, "0.023"],
  [1000, 3, "1,000"],
  [0, 3, "0"],
  [0.3, 2, "0.3"],
])("%d to %d digits is %s", (value, digits, text) => {
  expect(figureText(value, digits)).toBe(text);
});

test("what is next to nothing is said to be less, with no digits pretended", () => {
  expect(figureText(3e-12)).toBe("less than 0.0001");
});

test("the distance a needle keeps is rounded up, and its stop down", () => {
  expect(tenthsText(1.1667, "up")).toBe("1.2");
  expect(tenthsText(18.8333, "down")).toBe("18.8");
  expect(tenthsText(1.5, "up")).toBe("1.5");
  expect(tenthsText(18.5, "down")).toBe("18.5");
});

test("a band is rounded outward and never leaves its unit", () => {
  expect(bandText(35.7, 386.2, "kPa", 2)).toBe(`35 to 390${NBSP}kPa`);
  expect(bandText(2.4, 2.4, "% w/v")).toBe(`2.4${NBSP}%${NBSP}w/v`);
});

test("the later day of a band is not made later by rounding", () => {
  expect(wholeBandText(76.9, 107.9, "days")).toBe(`76 to 107${NBSP}days`);
});

test.each([
  ["remaining_pct_wv", "% w/v"],
  ["concentration_pct_ww", "% w/w"],
  ["nominal_pct_min", "% min"],
  ["share_below_pct", "%"],
  ["stock_ml", "mL"],
  ["flow_ml_per_min", "mL/min"],
  ["seconds_per_ml", "s/mL"],
  ["volume_ul", "µL"],
  ["back_pressure_high_mmhg", "mmHg"],
  ["pressure_kpa", "kPa"],
  ["force_low_n", "N"],
  ["section_mm2", "mm²"],
  ["short_of_wl_mm", "mm"],
  ["seconds_above_limit", "s"],
  ["days_to_tolerance_low", "days"],
  ["after_celsius", "°C"],
  ["chlorine_mg_per_l", "mg/L"],
  ["molar_mol_per_l", "mol/L"],
  ["consumption_high_per_min", "per min"],
  ["viscosity_mpa_s", "mPa s"],
  ["reynolds", ""],
  ["exchanges", ""],
])("the unit of %s is written %s", (name, unit) => {
  expect(unitOf(name)).toBe(unit);
});

test("a number without a unit stands alone", () => {
  expect(withUnit("30", "")).toBe("30");
});
