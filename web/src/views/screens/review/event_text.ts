/** One event in a line: what was done, where, how much; and its fields as words. */

import { words as chair } from "../../../strings/chair";
import { words } from "../../../strings/review";
import {
  depthText,
  sizeText,
  spanText,
  taperText,
  timeOfDayText,
  volumeText,
} from "../../canal/amounts";
import { type Entry, markOf, type Part } from "../../canal/marks";
import { siteText } from "../chair/texts";

type Fields = { readonly [field: string]: unknown };

export interface Lookup {
  readonly entries: readonly Entry[];
  readonly zone: string;
  /** Contents of a syringe by its id. */
  readonly syringe: (id: string) => readonly Part[] | null;
  readonly staff: (id: string) => string;
}

export function kindText(kind: string): string {
  const kinds: { readonly [kind: string]: string } = words.kinds;
  return kinds[kind] ?? words.events.unknown_kind(kind);
}

/** The payload in a few figures, in the order in which they are read. */
export function payloadText(payload: Fields, look: Lookup): string {
  const parts = [
    contentsText(payload, look),
    siteOf(payload),
    number(payload, "volume_ul", volumeText),
    number(payload, "duration_ms", spanText),
    sizes(payload),
    number(payload, "working_length_um", depthText),
    number(payload, "tip_um", (um) => `${words.correct.tip.toLowerCase()} ${depthText(um)}`),
    number(payload, "left_ul", (ul) => chair.rack.left(volumeText(ul))),
    ...[
      "activation",
      "by",
      "dry",
      "what",
      "result",
      "state",
      "answer",
      "question",
      "step",
      "rule",
      "level",
      "about",
      "material",
    ].map((field) => plain(payload[field])),
    payload.how === undefined ? "" : `(${String(payload.how)})`,
    quoted(payload.reason),
    quoted(payload.text),
  ];
  return parts.filter((part) => part !== "").join(" · ");
}

/** A field's value as it is shown beside its earlier one. */
export function fieldText(field: string, value: unknown, look: Lookup): string {
  if (value === null || value === undefined) return words.table.unknown;
  if (typeof value === "number") {
    if (field.endsWith("_at_ms") || field === "occurred_at_ms")
      return timeOfDayText(value, look.zone);
    if (field.endsWith("_ul")) return volumeText(value);
    if (field.endsWith("_um")) return depthText(value);
    if (field.endsWith("_ms")) return spanText(value);
    return String(value);
  }
  if (field === "site" || field === "canal") return siteText(String(value));
  return typeof value === "string" ? value.replaceAll("_", " ") : JSON.stringify(value);
}

export function fieldName(field: string): string {
  const names: { readonly [field: string]: string } = words.correct.fields;
  return names[field] ?? field.replaceAll("_", " ");
}

function contentsText(payload: Fields, look: Lookup): string {
  const own = payload.contents;
  if (Array.isArray(own)) return markOf(own as Part[], look.entries).short;
  const syringe = payload.syringe;
  const found = typeof syringe === "string" ? look.syringe(syringe) : null;
  return found === null ? "" : markOf(found, look.entries).short;
}

function siteOf(payload: Fields): string {
  const site = payload.site ?? payload.canal;
  return typeof site === "string" ? siteText(site) : "";
}

function number(payload: Fields, field: string, text: (value: number) => string): string {
  const value = payload[field];
  return typeof value === "number" ? text(value) : "";
}

function sizes(payload: Fields): string {
  const size = payload.size ?? payload.apical_size;
  const taper = payload.taper_um_per_mm;
  if (typeof size !== "number") return "";
  return typeof taper === "number" ? `${sizeText(size)}/${taperText(taper)}` : sizeText(size);
}

function plain(value: unknown): string {
  return typeof value === "string" ? value.replaceAll("_", " ") : "";
}

function quoted(value: unknown): string {
  return typeof value === "string" ? `“${value}”` : "";
}
