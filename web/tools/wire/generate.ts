/**
 * Writes `src/wire/types.ts` and `src/wire/schema.ts` from `schema.json`, the server's own schema.
 *
 * Only the words of JSON Schema that the server uses are understood; anything else is an error,
 * so that a new kind of bound is never lost on the way. Not here: the schema (server/canalclock/wire_schema.py).
 */

import type { Shape } from "../../src/wire/shape.ts";

export interface SchemaDocument {
  readonly $defs: { readonly [name: string]: Shape };
}

const KNOWN_WORDS = new Set([
  "$ref",
  "$comment",
  "title",
  "description",
  "type",
  "enum",
  "anyOf",
  "properties",
  "required",
  "additionalProperties",
  "items",
  "minItems",
  "maxItems",
  "minLength",
  "maxLength",
  "pattern",
  "minimum",
  "maximum",
  "default",
  "discriminator",
]);

/** The unit that the end of a field's name states; ratios come before what they end in. */
const UNIT_OF_SUFFIX: readonly (readonly [string, string])[] = [
  ["_um_per_mm", "number"],
  ["_mg_per_l", "MilligramsPerLitre"],
  ["_ms", "Milliseconds"],
  ["_ul", "Microlitres"],
  ["_um", "Micrometres"],
];

const HEADER = `/*
 * Generated from the server's schema by the task "wire"; never edited by hand.
 * A test fails when this file and the schema differ.
 */
`;

const UNITS = `/** A time or an instant in milliseconds; instants count from 1970-01-01 UTC. */
export type Milliseconds = number & { readonly unit: 'ms' };
/** A volume in microlitres. */
export type Microlitres = number & { readonly unit: 'µL' };
/** A depth or a length in micrometres. */
export type Micrometres = number & { readonly unit: 'µm' };
/** A strength in milligrams per litre. */
export type MilligramsPerLitre = number & { readonly unit: 'mg/L' };
`;

function numberType(field: string): string {
  return UNIT_OF_SUFFIX.find(([suffix]) => field.endsWith(suffix))?.[1] ?? "number";
}

function nameOf(ref: string): string {
  return ref.slice("#/$defs/".length);
}

function typeOf(shape: Shape, field: string): string {
  if (shape.$ref !== undefined) return nameOf(shape.$ref);
  if (shape.enum !== undefined) return shape.enum.map((one) => quoted(one)).join(" | ");
  if (shape.anyOf !== undefined) return shape.anyOf.map((one) => typeOf(one, field)).join(" | ");
  switch (shape.type) {
    case "integer":
    case "number":
      return numberType(field);
    case "string":
    case "boolean":
    case "null":
      return shape.type;
    case "array":
      return `readonly ${grouped(typeOf(shape.items ?? {}, field))}[]`;
    case "object":
      return "{ readonly [name: string]: unknown }";
    default:
      return "unknown";
  }
}

function grouped(type: string): string {
  return type.includes(" ") ? `(${type})` : type;
}

function quoted(value: string | number): string {
  return typeof value === "string" ? `'${value}'` : String(value);
}

function comment(text: string | undefined, indent: string): string {
  return text === undefined ? "" : `${indent}/** ${text.replaceAll("*/", "* /")} */\n`;
}

function structType(name: string, shape: Shape): string {
  const fields = Object.entries(shape.properties ?? {}).map(
    ([field, inner]) =>
      `${comment(inner.description, "  ")}  readonly ${field}: ${typeOf(inner, field)};\n`,
  );
  return `${comment(shape.description, "")}export interface ${name} {\n${fields.join("")}}\n`;
}

function unionType(name: string, shape: Shape): string {
  const members = (shape.anyOf ?? []).map((one) => `\n  | ${typeOf(one, "")}`);
  return `export type ${name} =${members.join("")};\n`;
}

function checkWords(shape: Shape, path: string): void {
  for (const word of Object.keys(shape)) {
    if (!KNOWN_WORDS.has(word))
      throw new Error(`${path}: found "${word}", which is not understood`);
  }
  for (const one of shape.anyOf ?? []) checkWords(one, path);
  for (const [name, inner] of Object.entries(shape.properties ?? {}))
    checkWords(inner, `${path}.${name}`);
  if (shape.items !== undefined) checkWords(shape.items, `${path}[]`);
}

/** The TypeScript types of every value on the wire. */
export function typesText(document: SchemaDocument): string {
  const types = Object.entries(document.$defs).map(([name, shape]) => {
    checkWords(shape, name);
    return shape.anyOf === undefined ? structType(name, shape) : unionType(name, shape);
  });
  return [HEADER, UNITS, ...types].join("\n");
}

function bare(shape: Shape): Shape {
  const { title: _title, description: _description, ...rest } = shape;
  return {
    ...rest,
    ...(rest.anyOf && { anyOf: rest.anyOf.map(bare) }),
    ...(rest.items && { items: bare(rest.items) }),
    ...(rest.properties && {
      properties: Object.fromEntries(
        Object.entries(rest.properties).map(([name, inner]) => [name, bare(inner)]),
      ),
    }),
  };
}

/** The same bounds as a value, for reading a line with exactly the server's limits. */
export function schemaText(document: SchemaDocument): string {
  const lines = Object.entries(document.$defs).map(
    ([name, shape]) => `  ${name}: ${JSON.stringify(bare(shape))},\n`,
  );
  return `${HEADER}
import type { Shape } from './shape.ts';

export const SHAPES: { readonly [name: string]: Shape } = {
${lines.join("")}};
`;
}
