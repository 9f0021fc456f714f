import { describe, expect, test } from "vitest";
import { Column, mixed } from "../../src/core/contents.ts";
import { C, content, E, N } from "./builders.ts";

const range = (topUm: number, bottomUm: number) => ({ topUm, bottomUm });
const WHOLE = range(0, Number.POSITIVE_INFINITY);

test("contents are the same in any order, and a repeated component counts once", () => {
  expect(mixed([N, C])).toEqual(mixed([C, N]));
  expect(mixed([N, N])).toEqual([N]);
  const unknown = content("sodium_hypochlorite");
  expect(mixed([N, unknown])).toEqual([unknown, N]);
});

describe("a column", () => {
  test("keeps below a delivery what it had", () => {
    const column = new Column("a");
    column.begin(range(9000, 20_000), [N], 10);
    column.begin(range(9000, 15_000), [E], 20);
    const told = column.slices(WHOLE).map(({ from_um, to_um, stays }) => ({
      from_um,
      to_um,
      stays: stays.map((stay) => [stay.contents[0]?.irrigant, stay.start_ms, stay.end_ms]),
    }));
    expect(told).toEqual([
      {
        from_um: 9000,
        to_um: 15_000,
        stays: [
          ["sodium_hypochlorite", 10, 20],
          ["edta", 20, null],
        ],
      },
      { from_um: 15_000, to_um: 20_000, stays: [["sodium_hypochlorite", 10, null]] },
    ]); // prettier-ignore
  });

  test("goes on with the same contents and only renews them", () => {
    const column = new Column("a");
    column.begin(range(0, 10), [N], 10, { freshUntilMs: 30 });
    column.begin(range(0, 10), [N], 50, { freshUntilMs: 70 });
    const [slice] = column.slices(WHOLE);
    expect(slice?.stays).toMatchObject([
      {
        start_ms: 10,
        end_ms: null,
        fresh: [
          [10, 30],
          [50, 70],
        ],
      },
    ]); // prettier-ignore
  });

  test("ends what is fresh together with the contents it belongs to", () => {
    const column = new Column("a");
    column.begin(range(0, 10), [N], 10, { freshUntilMs: 100 });
    column.begin(range(0, 10), [E], 40);
    column.begin(range(0, 10), [N], 60);
    const [slice] = column.slices(WHOLE);
    expect(slice?.stays.map((stay) => stay.fresh)).toEqual([[[10, 40]], [], []]);
  });

  test("does not tell of contents that lasted no time", () => {
    const column = new Column("a");
    column.begin(range(0, 10), [N], 10);
    column.end(range(0, 10), 10);
    expect(column.slices(WHOLE)).toEqual([]);
  });

  test("answers what is at a depth, a dressing left out", () => {
    const column = new Column("a");
    column.begin(range(0, 10), [N], 10);
    column.begin(range(10, 20), [C], 10, { dressing: true });
    expect(column.at(9)).toEqual([N]);
    expect(column.at(10)).toBeNull();
    expect(column.at(20)).toBeNull();
  });

  test("carries into what is empty from just above, and over what is not", () => {
    const column = new Column("a");
    column.begin(range(0, 10), [N], 10);
    column.begin(range(20, 30), [E], 10);
    column.carry(range(0, 40), null, 50);
    expect([5, 15, 25, 35, 45].map((depth) => column.at(depth)?.[0]?.irrigant)).toEqual([
      "sodium_hypochlorite",
      "sodium_hypochlorite",
      "edta",
      "edta",
      undefined,
    ]);
  });
});
