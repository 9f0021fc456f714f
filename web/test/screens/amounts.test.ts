import { expect, test } from "vitest";
import {
  depthText,
  flowText,
  massText,
  remainingText,
  spanText,
  strengthText,
  volumeText,
} from "../../src/views/canal/amounts";

const plain = (text: string | null): string | null => text?.replaceAll("\u00a0", " ") ?? null;

test.each([
  [2000, "2 mL"],
  [500, "0.5 mL"],
  [12_500, "12.5 mL"],
  [0, "0 mL"],
  [1_250_000, "1,250 mL"],
])("%i µL is written without a trailing zero and with a leading one", (ul, text) => {
  expect(plain(volumeText(ul))).toBe(text);
});

test("a unit never leaves its number", () => {
  expect(volumeText(500)).toBe("0.5\u00a0mL");
  expect(depthText(19_500)).toBe("19.5\u00a0mm");
});

test.each([
  [30_000, "3 %"],
  [52_500, "5.25 %"],
  [2000, "0.2 %"],
  [170_000, "17 %"],
])("%i mg/L is written as per cent weight in volume", (strength, text) => {
  expect(plain(strengthText(strength))).toBe(text);
});

test("a strength nobody knows is a question, not a number", () => {
  expect(plain(strengthText(null))).toBe("? %");
});

test("0.5 mL in 6 s went at 5 mL/min, and without a time there is no flow", () => {
  expect(plain(flowText(500, 6000))).toBe("5 mL/min");
  expect(flowText(500, null)).toBeNull();
  expect(flowText(500, 0)).toBeNull();
});

test("2.5 mL of 3 % are 75 mg", () => {
  expect(plain(massText(2500 * 30_000))).toBe("75 mg");
});

test("an hour and what follows keep one form", () => {
  expect(remainingText(3_600_000)).toBe("1:00:00");
  expect(remainingText(3_599_999)).toBe("1:00:00");
  expect(remainingText(-5)).toBe("0:00");
  expect(remainingText(500)).toBe("0:01");
});

test.each([
  [90_000, "1 min 30 s"],
  [45_000, "45 s"],
  [0, "0 s"],
  [7_500_000, "2 h 5 min"],
])("%i ms as a span", (ms, text) => {
  expect(plain(spanText(ms))).toBe(text);
});
