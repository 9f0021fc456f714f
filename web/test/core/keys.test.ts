import { expect, test } from "vitest";
import { byAscii, byKey, greatest, type Keyed } from "../../src/core/keys.ts";
import { ms } from "../../src/core/quantities.ts";

const key = (at: number, device: string, seq: number, id: string): Keyed => ({
  occurred_at_ms: ms(at),
  device,
  device_seq: seq,
  id,
});

test("events are ordered by instant, then device, then its counter, then id", () => {
  const ordered = [
    key(1, "z", 9, "z"),
    key(2, "a", 9, "z"),
    key(2, "b", 1, "z"),
    key(2, "b", 2, "a"),
    key(2, "b", 2, "b"),
  ];
  expect([...ordered].reverse().sort(byKey)).toEqual(ordered);
});

test("a counter is a number: 10 comes after 9", () => {
  expect(byKey(key(1, "a", 10, "x"), key(1, "a", 9, "x"))).toBeGreaterThan(0);
});

test("text is compared as ASCII, where capitals come before small letters and no locale has a say", () => {
  expect(["b", "a", "B", "_", "10", "9"].sort(byAscii)).toEqual(["10", "9", "B", "_", "a", "b"]);
});

test("of nothing there is no greatest", () => {
  expect(greatest([])).toBeUndefined();
  expect(greatest([key(1, "a", 1, "x"), key(3, "a", 1, "y"), key(2, "a", 1, "z")])?.id).toBe("y");
});
