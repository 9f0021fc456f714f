import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { type SchemaDocument, schemaText, typesText } from "../../tools/wire/generate.ts";

const web = (path: string): string =>
  readFileSync(new URL(`../../${path}`, import.meta.url), "utf8");
const document = JSON.parse(web("tools/wire/schema.json")) as SchemaDocument;

describe("the wire's types", () => {
  test("are those that the schema gives: run the task wire after a change", () => {
    expect(web("src/wire/types.ts")).toBe(typesText(document));
  });

  test("carry the same bounds as a value", () => {
    expect(web("src/wire/schema.ts")).toBe(schemaText(document));
  });

  test("say the unit that a field's name ends in, and none for a ratio", () => {
    const { CanalSet } = document.$defs;
    if (CanalSet === undefined) throw new Error("the schema has no CanalSet");
    const text = typesText({ $defs: { CanalSet } });
    expect(text).toContain("readonly working_length_um: Micrometres | null;");
    expect(text).toContain("readonly taper_um_per_mm: number | null;");
  });

  test("are not written while a word of the schema is not understood", () => {
    const strange = { $defs: { Odd: { type: "string", format: "date" } } };
    expect(() => typesText(strange as unknown as SchemaDocument)).toThrow(/Odd: found "format"/);
  });
});
