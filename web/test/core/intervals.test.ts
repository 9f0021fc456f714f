import { expect, test } from "vitest";
import { lengthMs, longestMs, overlap, union } from "../../src/core/intervals.ts";

test("spans that overlap or touch become one, and empty ones vanish", () => {
  expect(
    union([
      [5, 7],
      [0, 2],
      [2, 3],
      [1, 2],
      [9, 9],
    ]),
  ).toEqual([
    [0, 3],
    [5, 7],
  ]); // prettier-ignore
});

test("time that two spans share counts once", () => {
  expect(
    lengthMs([
      [0, 10],
      [5, 15],
    ]),
  ).toBe(15); // prettier-ignore
});

test("the overlap is what both hold", () => {
  expect(
    overlap(
      [
        [0, 10],
        [20, 30],
      ],
      [[5, 25]],
    ),
  ).toEqual([
    [5, 10],
    [20, 25],
  ]); // prettier-ignore
  expect(overlap([[0, 10]], [[10, 20]])).toEqual([]);
});

test("the longest run goes on over spans that touch", () => {
  expect(
    longestMs([
      [0, 4],
      [4, 9],
      [20, 23],
    ]),
  ).toBe(9); // prettier-ignore
  expect(longestMs([])).toBe(0);
});
