/**
 * From what is typed to what is asked: every field read, and the addresses of answer, canal and curves.
 *
 * Nothing is asked while a value is missing, can be read in two ways, or is unusual and not confirmed.
 */

import {
  type Calculator,
  CHOSEN,
  type Field,
  fieldsOf,
  type NumberField,
  type Values,
} from "./forms";
import { plainText, type Read, readNumber } from "./numbers";

export type FieldState =
  | { readonly at: "empty" }
  | { readonly at: "ready"; readonly value: number; readonly asShown: boolean }
  | { readonly at: "unusual"; readonly value: number }
  | { readonly at: "two_ways"; readonly values: readonly [number, number] }
  | { readonly at: "not_whole"; readonly value: number }
  | { readonly at: "refused" };

/** "name=text" of each unusual value that the person has said is meant. */
export type Confirmed = ReadonlySet<string>;

export function confirmKey(name: string, text: string): string {
  return `${name}=${text.trim()}`;
}

export function stateOf(field: NumberField, text: string, confirmed: Confirmed): FieldState {
  const read: Read = readNumber(text);
  if (read.is === "empty") return { at: "empty" };
  if (read.is === "refused") return { at: "refused" };
  if (read.is === "two_ways") return { at: "two_ways", values: read.values };
  const { value } = read;
  if (field.whole && !Number.isInteger(value)) return { at: "not_whole", value };
  const [low, high] = field.usual;
  const unusual = value < low || value > high;
  if (unusual && !confirmed.has(confirmKey(field.name, text))) return { at: "unusual", value };
  return { at: "ready", value, asShown: read.asShown };
}

export interface Stretch {
  readonly days: string;
  readonly celsius: string;
}

export const STRETCHES_MAX = 6;

/** Stretches as kept among the values: "30|20/10|30". */
export function stretchesOf(text: string | undefined): readonly Stretch[] {
  if (text === undefined || text === "") return [{ days: "", celsius: "" }];
  return text.split("/").map((part) => {
    const [days = "", celsius = ""] = part.split("|");
    return { days, celsius };
  });
}

export function stretchesText(stretches: readonly Stretch[]): string {
  const plain = (text: string): string => text.replace(/[|/]/g, "");
  return stretches.map((s) => `${plain(s.days)}|${plain(s.celsius)}`).join("/");
}

export type Given = { readonly [name: string]: number | string };

export type Asked =
  | {
      readonly at: "open";
      /** Names that still want a value, and names whose value is in question. */
      readonly missing: readonly string[];
      readonly questioned: readonly string[];
    }
  | { readonly at: "ready"; readonly given: Given };

/** What may be asked of the server with these values. */
export function askedOf(calculator: Calculator, values: Values, confirmed: Confirmed): Asked {
  const missing: string[] = [];
  const questioned: string[] = [];
  const given: { [name: string]: number | string } = {};
  for (const field of fieldsOf(calculator, values)) {
    const read = readField(field, values, confirmed);
    if (read.at === "missing") missing.push(field.name);
    else if (read.at === "questioned") questioned.push(field.name);
    else if (read.at === "given") given[field.name] = read.value;
  }
  if (missing.length > 0 || questioned.length > 0) return { at: "open", missing, questioned };
  return { at: "ready", given };
}

type ReadField =
  | { readonly at: "missing" | "questioned" | "left_out" }
  | { readonly at: "given"; readonly value: number | string };

function readField(field: Field, values: Values, confirmed: Confirmed): ReadField {
  const text = values[field.name] ?? CHOSEN[field.name] ?? "";
  if (field.kind === "history") return readHistory(text, confirmed);
  if (field.kind === "choice") {
    if (field.name === "basis" && text === "other") return { at: "missing" };
    if (!field.options.includes(text)) return { at: "missing" };
    return field.sent ? { at: "given", value: text } : { at: "left_out" };
  }
  const state = stateOf(field, text, confirmed);
  if (state.at === "empty") return { at: field.optional ? "left_out" : "missing" };
  return state.at === "ready" ? { at: "given", value: state.value } : { at: "questioned" };
}

function readHistory(text: string, confirmed: Confirmed): ReadField {
  const parts: string[] = [];
  for (const [index, stretch] of stretchesOf(text).entries()) {
    const states = [
      stateOf(stretchField("days"), stretch.days, confirmed),
      stateOf(stretchField("celsius"), stretch.celsius, confirmed),
    ];
    const [days, celsius] = states;
    if (days?.at === "empty" && celsius?.at === "empty" && index > 0) continue;
    if (states.some((state) => state.at === "empty")) return { at: "missing" };
    if (days?.at !== "ready" || celsius?.at !== "ready") return { at: "questioned" };
    parts.push(`${plainText(days.value)}:${plainText(celsius.value)}`);
  }
  return { at: "given", value: parts.join(",") };
}

/** One stretch's figure, with the steps and the usual range of the single one. */
export function stretchField(name: "days" | "celsius"): NumberField {
  const field = fieldsOf("storage", { basis: "concentration_pct_wv" }).find(
    (found) => found.name === name,
  );
  if (field?.kind !== "number") throw new Error(`storage asks no ${name}`);
  return field;
}

export function answerPath(calculator: Calculator, given: Given): string {
  return `/calc/${calculator}?${queryOf(given)}`;
}

function queryOf(given: Given): string {
  const query = new URLSearchParams();
  for (const [name, value] of Object.entries(given)) {
    query.set(name, typeof value === "number" ? plainText(value) : value);
  }
  return query.toString();
}

const SHAPE = [
  "working_length_mm",
  "apical_size",
  "taper_pct",
  "orifice_mm",
  "working_part_mm",
  "cap_mm",
];

/** The canal of a question, for its drawing; null = it has none. */
export function canalPath(given: Given): string | null {
  if (given.working_length_mm === undefined) return null;
  const shape = Object.entries(given).filter(([name]) => SHAPE.includes(name));
  return answerPath("canal", { ...Object.fromEntries(shape), short_of_wl_mm: 0 });
}

export interface Span {
  readonly over: string;
  readonly to: number;
}

/** Figures of an answer by name. */
export type Figures = { readonly [name: string]: unknown };

const POINTS = 24;
const WIDER = 1.15;
const TOLERANCE_DAYS_MOST = 3650;
const TOLERANCE_REACH = 6;
const FLOW_LEAST_ML_PER_MIN = 18;
const COOLING_LEAST_S = 240;

/** What a question's curve runs over, from 0; null = it has no curve. */
export function spanOf(calculator: Calculator, given: Given, figures: Figures): Span | null {
  const asked = (name: string): number => Number(given[name] ?? 0);
  switch (calculator) {
    case "storage": {
      if (given.history !== undefined) return null;
      const days = Math.max(asked("days"), 30);
      const until = figures.days_to_tolerance;
      const near =
        typeof until === "number" && until <= Math.min(TOLERANCE_DAYS_MOST, days * TOLERANCE_REACH);
      return { over: "days", to: Math.ceil(WIDER * Math.max(days, near ? until : 0)) };
    }
    case "flow": {
      const flow = Number(figures.flow_ml_per_min ?? 0);
      return { over: "flow_ml_per_min", to: Math.max(FLOW_LEAST_ML_PER_MIN, WIDER * flow) };
    }
    case "exposure":
      return asked("minutes") > 0 ? { over: "minutes", to: asked("minutes") } : null;
    case "warmth":
      return { over: "seconds", to: Math.max(COOLING_LEAST_S, WIDER * asked("seconds")) };
    default:
      return null;
  }
}

export function curvePath(calculator: Calculator, given: Given, span: Span): string {
  const others = Object.entries(given).filter(
    ([name]) => name !== span.over && !(calculator === "flow" && MEASURED.includes(name)),
  );
  const query = queryOf({ ...Object.fromEntries(others), over: span.over, from: 0, to: span.to });
  return `/calc/${calculator}/curve?${query}&points=${POINTS}`;
}

/** A flow's curve varies the flow itself; volume and time would say it twice. */
const MEASURED = ["volume_ml", "seconds"];

const HISTORY_POINTS = 18;

/** A history cut short at rising days, for its curve: at most 24 questions. */
export function historyCuts(
  history: string,
): readonly { readonly days: number; readonly history: string }[] {
  const stretches = history.split(",").map((part) => {
    const [days = 0, celsius = 0] = part.split(":").map(Number);
    return { days, celsius };
  });
  const each = Math.max(1, Math.floor(HISTORY_POINTS / stretches.length));
  const cuts: { days: number; history: string }[] = [];
  let before = 0;
  let text = "";
  for (const { days, celsius } of stretches) {
    const start = text;
    for (let part = cuts.length === 0 ? 0 : 1; part <= each; part++) {
      const spent = (days * part) / each;
      text = `${start === "" ? "" : `${start},`}${plainText(spent)}:${plainText(celsius)}`;
      cuts.push({ days: before + spent, history: text });
    }
    before += days;
  }
  return cuts;
}
