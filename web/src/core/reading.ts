/**
 * Lines to events by the server's own bounds (src/wire/schema.ts), so that a phone says "saved" only of
 * what the server will take. Not here: whether a visit may take the line (that is the server's intake).
 *
 * Two spellings are read here that the server refuses, since JSON.parse does not tell them apart:
 * `1.0` and `1e3` for a whole number. Our own lines are written by JSON.stringify, which writes neither.
 */

import { SHAPES } from "../wire/schema.ts";
import type { Shape } from "../wire/shape.ts";
import type { EventKind, Heard, Kit, Unread, Event as VisitEvent } from "./types.ts";

/** A value outside the bounds of what it claims to be: says where, what was expected, what was found. */
export class NotReadable extends Error {
  override readonly name = "NotReadable";
  readonly path: string;

  constructor(path: string, expected: string, found: unknown) {
    super(`at ${path}: expected ${expected}, found ${shown(found)}`);
    this.path = path;
  }
}

type Fields = { readonly [name: string]: unknown };

const EVENT_NAMES = mapping("AnyEvent");
const ENVELOPE_FIELDS = [
  "id",
  "visit",
  "device",
  "device_seq",
  "staff",
  "occurred_at_ms",
  "device_clock_ms",
  "clock_error_ms",
  "dated_by_hand",
] as const; // prettier-ignore
const KIND_PATTERN = /^[a-z][a-z0-9_]{0,63}$/;
const patterns = new Map<string, RegExp>();

/**
 * One line as an event; `Unread` if its kind is not known to this version.
 *
 * @throws NotReadable when it is not JSON, or outside the bounds of its kind.
 */
export function readLine(line: string): Heard {
  return readHeard(parsed(line));
}

/** The same for a value that was already parsed. */
export function readHeard(value: unknown): Heard {
  const fields = asFields(value, "$");
  const kind = fields.kind;
  if (typeof kind !== "string" || !KIND_PATTERN.test(kind)) {
    throw new NotReadable("$.kind", "the kind of an event", kind);
  }
  return isEventKind(kind) ? readAs(kind, fields) : unread(kind, fields);
}

/** A kit from its JSON document. @throws NotReadable */
export function readKit(document: string): Kit {
  return read({ $ref: "#/$defs/Kit" }, parsed(document), "$") as Kit;
}

export function isEventKind(kind: string): kind is EventKind {
  return EVENT_NAMES.has(kind);
}

/** Fields as an event of that kind, what is left out filled by its default. @throws NotReadable */
export function readAs(kind: EventKind, fields: Fields): VisitEvent {
  const name = EVENT_NAMES.get(kind);
  return read({ $ref: `#/$defs/${name}` }, { ...fields, kind }, "$") as VisitEvent;
}

function unread(kind: string, fields: Fields): Unread {
  const envelope = Object.fromEntries(
    ENVELOPE_FIELDS.filter((name) => name in fields).map((name) => [name, fields[name]]),
  );
  const value = { ...envelope, kind: "unread", unread_kind: kind };
  return read({ $ref: "#/$defs/Unread" }, value, "$") as Unread;
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text) as unknown;
  } catch {
    throw new NotReadable("$", "JSON", text.slice(0, 40));
  }
}

function mapping(root: string): ReadonlyMap<string, string> {
  const names = Object.entries(SHAPES[root]?.discriminator?.mapping ?? {});
  return new Map(names.map(([kind, ref]) => [kind, nameOf(ref)]));
}

function nameOf(ref: string): string {
  return ref.slice("#/$defs/".length);
}

function read(shape: Shape, value: unknown, path: string): unknown {
  if (shape.$ref !== undefined) return read(shapeNamed(nameOf(shape.$ref)), value, path);
  if (shape.anyOf !== undefined) return readNullable(shape.anyOf, value, path);
  if (shape.enum !== undefined) return oneOf(shape.enum, value, path);
  switch (shape.type) {
    case "object":
      return readObject(shape, value, path);
    case "array":
      return readArray(shape, value, path);
    case "string":
      return readText(shape, value, path);
    case "integer":
      return readWhole(shape, value, path);
    case "boolean":
      if (typeof value === "boolean") return value;
      throw new NotReadable(path, "true or false", value);
    default:
      return value;
  }
}

function shapeNamed(name: string): Shape {
  const shape = SHAPES[name];
  if (shape === undefined) throw new Error(`the schema has no ${name}`);
  return shape;
}

function readNullable(options: readonly Shape[], value: unknown, path: string): unknown {
  const [option] = options.filter((one) => one.type !== "null");
  if (option === undefined) throw new Error("the schema has a union of nothing");
  return value === null ? null : read(option, value, path);
}

function oneOf(allowed: readonly (string | number)[], value: unknown, path: string): unknown {
  if (allowed.some((one) => one === value)) return value;
  throw new NotReadable(path, `one of ${allowed.join(", ")}`, value);
}

function readObject(shape: Shape, value: unknown, path: string): unknown {
  const fields = asFields(value, path);
  if (shape.properties === undefined) return fields;
  refuseStrangers(shape, fields, path);
  const required = new Set(shape.required);
  const entries = Object.entries(shape.properties).map(([name, inner]) => {
    if (Object.hasOwn(fields, name)) return [name, read(inner, fields[name], `${path}.${name}`)];
    if (required.has(name)) throw new NotReadable(`${path}.${name}`, "a value", undefined);
    return [name, inner.default];
  });
  return Object.fromEntries(entries) as Fields;
}

function refuseStrangers(shape: Shape, fields: Fields, path: string): void {
  if (shape.additionalProperties !== false) return;
  for (const name of Object.keys(fields)) {
    if (!Object.hasOwn(shape.properties ?? {}, name)) {
      throw new NotReadable(`${path}.${name}`, "no such field", fields[name]);
    }
  }
}

function asFields(value: unknown, path: string): Fields {
  if (typeof value === "object" && value !== null && !Array.isArray(value)) return value as Fields;
  throw new NotReadable(path, "an object", value);
}

function readArray(shape: Shape, value: unknown, path: string): unknown {
  if (!Array.isArray(value)) throw new NotReadable(path, "a list", value);
  const { minItems = 0, maxItems = Number.POSITIVE_INFINITY, items = {} } = shape;
  if (value.length < minItems || value.length > maxItems) {
    throw new NotReadable(path, `${minItems} to ${maxItems} items`, value);
  }
  return value.map((item: unknown, index) => read(items, item, `${path}[${index}]`));
}

function readText(shape: Shape, value: unknown, path: string): string {
  if (typeof value !== "string") throw new NotReadable(path, "text", value);
  if (!value.isWellFormed() || value.includes("\0")) {
    throw new NotReadable(path, "whole characters, and no U+0000", value);
  }
  const { minLength = 0, maxLength = Number.POSITIVE_INFINITY } = shape;
  const length =
    value.length <= minLength || value.length > maxLength ? [...value].length : value.length;
  if (length < minLength || length > maxLength) {
    throw new NotReadable(path, `text of ${minLength} to ${maxLength} characters`, value);
  }
  if (shape.pattern !== undefined && !pattern(shape.pattern).test(value)) {
    throw new NotReadable(path, `text like ${shape.pattern}`, value);
  }
  return value;
}

function pattern(source: string): RegExp {
  const kept = patterns.get(source) ?? new RegExp(source, "u");
  patterns.set(source, kept);
  return kept;
}

function readWhole(shape: Shape, value: unknown, path: string): number {
  const { minimum = 0, maximum = Number.MAX_SAFE_INTEGER } = shape;
  if (typeof value !== "number" || !Number.isInteger(value) || value < minimum || value > maximum) {
    throw new NotReadable(path, `a whole number from ${minimum} to ${maximum}`, value);
  }
  return value + 0;
}

function shown(found: unknown): string {
  if (found === undefined) return "nothing";
  const text = JSON.stringify(found) ?? String(found);
  return text.length > 80 ? `${text.slice(0, 77)}...` : text;
}
