import { describe, expect, test } from "vitest";
import { differences, vectorCases } from "./judging.ts";
import { answered, expected } from "./judging_plan.ts";

describe.each(["fold", "guard"] as const)("vectors of %s", (folder) => {
  const cases = vectorCases(folder);

  test("there are some", () => {
    expect(cases.length).toBeGreaterThanOrEqual(80);
  });

  for (const one of cases) {
    const run = one.awaits === undefined ? test : test.fails;
    run(`${one.case} gives the answer worked by hand`, () => {
      expect(differences(one), one.source.working ?? one.source.cite).toEqual([]);
    });
  }
});

describe("vectors of plan", () => {
  const cases = vectorCases("plan");

  test("there are some", () => {
    expect(cases.length).toBeGreaterThanOrEqual(30);
  });

  for (const one of cases) {
    test(`${one.case} gives the answer worked by hand`, () => {
      expect(answered(one), one.source.working).toEqual(expected(one));
    });
  }
});
