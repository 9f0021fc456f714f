import { expect, test } from "vitest";
import {
  around,
  canalPath,
  drawingOf,
  spread,
  tensShare,
  ticks,
} from "../../src/views/screens/calculators/scales";

test.each([
  [0, 18, 4, [0, 5, 10, 15]],
  [4, 5.3, 4, [4, 4.5, 5]],
  [0, 0.5, 5, [0, 0.1, 0.2, 0.3, 0.4, 0.5]],
  [36, 53, 4, [40, 45, 50]],
])("an axis from %d to %d has round steps", (low, high, about, steps) => {
  expect(ticks(low, high, about)).toEqual(steps);
});

test("an axis of one value does not run for ever", () => {
  expect(ticks(3, 3, 4)).toEqual([3]);
});

test("an axis is wider than its values and never below nought", () => {
  const [low, high] = around([4.1, 5.25], false);
  expect(low).toBeLessThan(4.1);
  expect(low).toBeGreaterThan(0);
  expect(high).toBeGreaterThan(5.25);
  expect(around([0.1, 5], false)[0]).toBe(0);
  expect(around([10, 390], true)[0]).toBe(0);
});

test("names keep their order, their distance and the frame", () => {
  const placed = spread([100, 101, 40, 102], 15, 20, 110);
  expect(placed[2]).toBe(40);
  const down = [placed[0], placed[1], placed[3]].map((y) => y ?? 0);
  expect(down[2]).toBeLessThanOrEqual(110);
  expect((down[1] ?? 0) - (down[0] ?? 0)).toBeGreaterThanOrEqual(15);
  expect((down[2] ?? 0) - (down[1] ?? 0)).toBeGreaterThanOrEqual(15);
});

test("names that have room stay where they are", () => {
  expect(spread([30, 60, 90], 15, 0, 100)).toEqual([30, 60, 90]);
});

test("a scale of tens gives each ten the same length and ends at its ends", () => {
  expect(tensShare(0.01, 0.001, 10)).toBeCloseTo(0.25);
  expect(tensShare(1, 0.001, 10)).toBeCloseTo(0.75);
  expect(tensShare(0, 0.001, 10)).toBe(0);
  expect(tensShare(50, 0.001, 10)).toBe(1);
});

test("a canal is to scale in length, and widths by one whole factor that fits", () => {
  const shape = {
    points: [
      [0, 0.3],
      [15, 1.2],
      [20, 1.2],
    ],
    workingLength: 20,
  } as const;
  const drawing = drawingOf(shape, 0.32, 80, 30, 380, 100);
  expect(drawing.y(20) - drawing.y(0)).toBeCloseTo(380);
  expect(drawing.times).toBe(4);
  expect(2 * drawing.half(1.2)).toBeLessThanOrEqual(100);
  expect(drawing.half(1.2) / drawing.half(0.3)).toBeCloseTo(4);
  const path = canalPath(shape, drawing, true);
  expect(path).toMatch(/^M34\.4 30L/);
  expect(path).toMatch(/125\.6 30Z$/);
});
