import { expect, test } from "vitest";
import { bound, looksLikeName } from "../../src/store/typed";

test.each([
  ["2.5", 25_000],
  ["0.5", 5000],
  ["17", 170_000],
  ["5.25", 52_500],
  ["0", 0],
  ["3.0", 30_000],
])("a strength of %s %% is %i mg/L", (text, amount) => {
  expect(bound(text, 4)).toEqual({ is: "amount", amount });
});

test.each(["2,5", ",5", "1.234,5", "2,,5"])("%s is refused for its comma", (text) => {
  expect(bound(text, 3)).toEqual({ is: "refused", why: "comma" });
});

test.each([
  "2.5.1",
  "1e3",
  "0x10",
  "+2",
  "-2",
  "2 5",
  ".5",
  "2.",
  "٢",
  "２",
  "nan",
  "Infinity",
  "ML",
  "02",
])("%s is no figure", (text) => {
  expect(bound(text, 3)).toEqual({ is: "refused", why: "not_a_number" });
});

test("what is finer than the small unit is refused, not rounded", () => {
  expect(bound("0.0001", 3)).toEqual({ is: "refused", why: "too_fine" });
  expect(bound("0.1000", 3)).toEqual({ is: "amount", amount: 100 });
});

test("nothing typed is unknown, and not zero", () => {
  expect(bound("  ", 3)).toEqual({ is: "unknown" });
});

test("more than there can be is refused", () => {
  expect(bound("100.1", 4, 1_000_000)).toEqual({ is: "refused", why: "too_large" });
});

test.each(["A-104", "104", "B 12", "R2", "ABC-9", "k7"])("%s is taken for a code", (label) => {
  expect(looksLikeName(label)).toBe(false);
});

test.each(["Jane Doe", "Müller", "O’Brien, P.", "Garcia"])("%s is taken for a name", (label) => {
  expect(looksLikeName(label)).toBe(true);
});
