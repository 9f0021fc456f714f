import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { jaws, suggestionFor, toothText } from "../../src/store/anatomy";

interface Row {
  readonly tooth: string;
  readonly universal: string;
  readonly quadrant: string;
  readonly canals: readonly string[];
  readonly least: number;
  readonly most: number;
  readonly also: readonly string[];
}

const path = new URL("../../../tests/vectors/anatomy.json", import.meta.url);
const { teeth } = JSON.parse(readFileSync(path, "utf8")) as { readonly teeth: readonly Row[] };

test("there are 32 permanent and 20 primary teeth", () => {
  expect(teeth).toHaveLength(52);
});

test.each(teeth)("tooth $tooth is $universal and $quadrant, with its usual canals", (row) => {
  expect(toothText(row.tooth, "iso3950")).toBe(row.tooth);
  expect(toothText(row.tooth, "universal")).toBe(row.universal);
  expect(toothText(row.tooth, "quadrant")).toBe(row.quadrant);
  const { canals, least, most, also } = row;
  expect(suggestionFor(row.tooth)).toEqual({ canals, least, most, also });
});

test("the grid holds every tooth once, the two front teeth of a jaw side by side", () => {
  const shown = [...jaws(false), ...jaws(true)].flat(2);
  expect(shown.toSorted()).toEqual(teeth.map((row) => row.tooth).toSorted());
  expect(jaws(false)[0]?.flat().slice(7, 9)).toEqual(["11", "21"]);
  expect(jaws(false)[1]?.flat().slice(7, 9)).toEqual(["41", "31"]);
});

test("what is no tooth stays as it is written and has no suggestion", () => {
  expect(toothText("59", "universal")).toBe("59");
  expect(suggestionFor("19")).toBeNull();
});
