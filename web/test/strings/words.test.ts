import { readdirSync } from "node:fs";
import { expect, test } from "vitest";
import { pick } from "../../src/strings/pick";

const folder = new URL("../../src/strings/en/", import.meta.url);
const files = readdirSync(folder).filter((name) => name.endsWith(".ts"));

/** Every text of a file, those with gaps filled with a word that stands out. */
function textsOf(value: unknown): readonly string[] {
  if (typeof value === "string") return [value];
  if (typeof value === "function")
    return [String((value as (...gaps: string[]) => string)("GAP", "GAP", "GAP", "GAP"))];
  if (typeof value === "object" && value !== null) return Object.values(value).flatMap(textsOf);
  return [];
}

const all = await Promise.all(
  files.map(async (file) => ({
    file,
    texts: textsOf(await import(/* @vite-ignore */ new URL(file, folder).href)),
  })),
);

test.each(all)("$file leaves no text empty", ({ texts }) => {
  expect(texts.length).toBeGreaterThan(0);
  expect(texts.filter((text) => text.trim() === "" || text.includes("undefined"))).toEqual([]);
});

test.each(all)(
  "$file never says safe, complete or error occurred, and counts in mL",
  ({ texts }) => {
    const never = /\bsafe(ly|ty|r)?\b|\bcomplete(d|ly)?\b|error occurred|\bcc\b|\bML\b|\bml\b/i;
    const found = texts.filter((text) => never.test(text.replaceAll("mL", "")));
    expect(found).toEqual([]);
  },
);

test.each(all)("$file keeps each number with its unit", ({ texts }) => {
  expect(texts.filter((text) => /\d (mm|mL|mg|m|s|min|h|days|kB|%|°C)(?!\w)/.test(text))).toEqual(
    [],
  );
});

test.each(all)("$file shows no pictograms", ({ texts }) => {
  expect(texts.filter((text) => /\p{Extended_Pictographic}/u.test(text))).toEqual([]);
});

test("a language that is not there is read in English", () => {
  expect(pick({ en: { word: "rinse" } }, "xx")).toEqual({ word: "rinse" });
  expect(pick({ en: { word: "rinse" } }, "toString")).toEqual({ word: "rinse" });
});
