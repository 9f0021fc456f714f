/** Runs a vector and tells every difference, by the rules of tests/vectors/README.md; knows no answer itself. */

import { readdirSync, readFileSync } from "node:fs";
import { fold } from "../../src/core/fold.ts";
import { guard } from "../../src/core/guard.ts";
import { readHeard, readKit } from "../../src/core/reading.ts";
import { totals } from "../../src/core/totals.ts";
import type { Kit, Milliseconds, ProposedAct, VisitRecord } from "../../src/core/types.ts";

const VECTORS = new URL("../../../tests/vectors/", import.meta.url);

type Row = { readonly [name: string]: unknown };

export interface VectorCase {
  readonly case: string;
  readonly function: string;
  readonly awaits?: string;
  readonly given: {
    readonly kit?: Row | null;
    readonly kit_ref?: string;
    readonly events: readonly unknown[];
    readonly as_of_ms?: Milliseconds;
    readonly visit?: number;
    readonly act?: Partial<ProposedAct>;
  };
  readonly expect: Row & { readonly partial?: unknown };
  readonly source: { readonly working?: string; readonly cite?: string };
}

const KEYS: { readonly [part: string]: readonly string[] } = {
  headlines: ["site", "irrigant"],
  depths: ["site", "irrigant", "concentration_mg_per_l", "from_um", "to_um"],
  carried: ["site", "irrigant", "concentration_mg_per_l", "from_um", "to_um"],
  volumes: ["site", "irrigant", "concentration_mg_per_l"],
  tooth: ["irrigant", "concentration_mg_per_l"],
  dressings: ["site"],
  timers: ["id"],
  versions: ["entry"],
};

/** The findings of the fold itself; other rules' findings are left alone. */
const FOLD_RULES = new Set([
  "canal_not_declared",
  "join_without_length",
  "join_in_a_ring",
  "correction_conflict",
  "correction_unreadable",
  "unresolved",
  "unread",
  "after_close",
  "order_uncertain",
  "activation_never_stopped",
  "activation_stop_alone",
  "activation_on_nothing",
  "open_end",
  "reading_conflict",
  "join_without_length",
  "join_in_a_ring",
]);

const LEVELS = ["hold", "caution", "note"];

/** Every case of every file whose function this language has. */
export function vectorCases(folder: "fold" | "guard" | "plan"): VectorCase[] {
  const names = readdirSync(new URL(`${folder}/`, VECTORS)).sort();
  return names
    .filter((name) => name.endsWith(".json"))
    .flatMap((name) => {
      const text = readFileSync(new URL(`${folder}/${name}`, VECTORS), "utf8");
      return (JSON.parse(text) as { readonly cases: readonly VectorCase[] }).cases;
    });
}

/** A small complete kit, shared with the other language. */
export function kitNamed(name: string): Kit {
  return readKit(readFileSync(new URL(`kits/${name}.json`, VECTORS), "utf8"));
}

/** The kit of a case; null = none. */
export function kitOf({ given }: VectorCase): Kit | null {
  if (given.kit_ref !== undefined) return kitNamed(given.kit_ref);
  return given.kit == null ? null : readKit(JSON.stringify(given.kit));
}

/** The record of a case; without a kit it is folded by `bench`. */
export function recordOf(
  one: VectorCase,
  events: readonly unknown[] = one.given.events,
): VisitRecord {
  return fold(kitOf(one) ?? kitNamed("bench"), events.map(readHeard));
}

/** What the code answers otherwise than the case expects; empty = all as expected. */
export function differences(one: VectorCase): string[] {
  return one.function === "guard" ? guardDifferences(one) : foldDifferences(one);
}

function foldDifferences(one: VectorCase): string[] {
  const { as_of_ms: asOfMs } = one.given;
  if (asOfMs === undefined) throw new Error(`${one.case}: a fold without as_of_ms`);
  const record = recordOf(one);
  const got: Row = {
    ...totals(record, asOfMs),
    findings: record.findings.filter((finding) => FOLD_RULES.has(finding.rule)),
    timers: record.timers,
    versions: record.versions,
  };
  const { partial, ...expected } = one.expect;
  const parts = new Set(partial as readonly string[] | undefined);
  return Object.entries(expected).flatMap(([part, rows]) => {
    if (part === "measured_share_pct")
      return isEqual(got[part], rows) ? [] : [tell(part, rows, got[part])];
    const whole = !parts.has(part);
    if (part === "findings")
      return matched(part, asRows(rows), asRows(got[part]), isSameFinding, whole);
    return keyed(part, asRows(rows), asRows(got[part]), whole);
  });
}

function guardDifferences(one: VectorCase): string[] {
  const { act } = one.given;
  if (act?.contents === undefined || act.at_ms === undefined) {
    throw new Error(`${one.case}: an act without contents or instant`);
  }
  const contents = act.contents.map(({ irrigant, concentration_mg_per_l = null }) => ({
    irrigant,
    concentration_mg_per_l,
  }));
  const proposed: ProposedAct = {
    site: null,
    syringe: null,
    by: null,
    tip_um: null,
    at_ms: act.at_ms,
    ...act,
    contents,
  };
  const said = guard(kitOf(one), recordOf(one), proposed);
  const rows = said as readonly unknown[] as readonly Row[];
  const ranks = said.map((warning) => LEVELS.indexOf(warning.level));
  const inOrder = ranks.every((rank, at) => at === 0 || rank >= (ranks[at - 1] ?? 0));
  return [
    ...matched(
      "warnings",
      asRows(one.expect.warnings),
      rows,
      isSameWarning,
      one.expect.partial === undefined || isEmpty(one.expect.partial),
    ),
    ...(inOrder ? [] : [tell("warnings", "hold, caution, note in that order", said)]),
  ];
}

function isEmpty(partial: unknown): boolean {
  return partial === false || (Array.isArray(partial) && partial.length === 0);
}

function asRows(value: unknown): readonly Row[] {
  if (!Array.isArray(value)) throw new Error(`expected rows, found ${JSON.stringify(value)}`);
  return value as readonly Row[];
}

function keyed(
  part: string,
  expected: readonly Row[],
  got: readonly Row[],
  whole: boolean,
): string[] {
  const names = KEYS[part];
  if (names === undefined) throw new Error(`a part that is not judged: ${part}`);
  const keyOf = (row: Row): string => JSON.stringify(names.map((name) => row[name] ?? null));
  const left = new Map(got.map((row) => [keyOf(row), row]));
  const told = left.size === got.length ? [] : [`${part}: more than one row of a key`];
  for (const row of expected) {
    const found = left.get(keyOf(row));
    left.delete(keyOf(row));
    if (found === undefined) {
      if (!saysNothing(row, names)) told.push(tell(part, row, "no such row"));
      continue;
    }
    for (const [name, value] of Object.entries(row)) {
      if (names.includes(name) || isEqual(found[name], value)) continue;
      told.push(tell(`${part} ${keyOf(row)} ${name}`, value, found[name]));
    }
  }
  const extra = [...left.values()].filter((row) => whole && !saysNothing(row, names));
  return [...told, ...extra.map((row) => tell(part, "no more rows", row))];
}

/** A row whose figures are all 0 and which is not `at_least` equals no row. */
function saysNothing(row: Row, names: readonly string[]): boolean {
  return Object.entries(row).every(
    ([name, value]) =>
      names.includes(name) || name === "about" || isNothing(value) || name === "site",
  );
}

function isNothing(value: unknown): boolean {
  return (
    value === 0 || value === null || value === false || (Array.isArray(value) && value.length === 0)
  );
}

function matched(
  part: string,
  expected: readonly Row[],
  got: readonly Row[],
  isSame: (expected: Row, got: Row) => boolean,
  whole: boolean,
): string[] {
  const left = [...got];
  const told: string[] = [];
  const strictestFirst = [...expected].sort(
    (a, b) => Object.keys(b).length - Object.keys(a).length,
  );
  for (const row of strictestFirst) {
    const at = left.findIndex((one) => isSame(row, one));
    if (at < 0) told.push(tell(part, row, got));
    else left.splice(at, 1);
  }
  return [...told, ...left.filter(() => whole).map((row) => tell(part, "no more rows", row))];
}

function isSameFinding(expected: Row, got: Row): boolean {
  return (
    expected.rule === got.rule &&
    isSameSet(expected.sites, got.sites) &&
    isSameSet(expected.events, got.events) &&
    (expected.ms === undefined || expected.ms === got.ms)
  );
}

function isSameWarning(expected: Row, got: Row): boolean {
  return (
    expected.rule === got.rule &&
    expected.level === got.level &&
    (expected.about === undefined || expected.about === got.about) &&
    isSameSet(expected.sites, got.sites)
  );
}

function isSameSet(expected: unknown, got: unknown): boolean {
  return expected === undefined || isEqual(got, expected);
}

/** Lists are compared without their order, and absent components of a content as null. */
function isEqual(got: unknown, expected: unknown): boolean {
  if (Array.isArray(got) && Array.isArray(expected)) {
    const spelled = (list: readonly unknown[]): string =>
      JSON.stringify(list.map(canonical).sort());
    return spelled(got) === spelled(expected);
  }
  return got === expected;
}

function canonical(value: unknown): string {
  if (typeof value !== "object" || value === null) return JSON.stringify(value);
  const fields = Object.entries(value).filter(([, inner]) => inner !== null);
  return JSON.stringify(fields.sort(([a], [b]) => (a < b ? -1 : 1)));
}

function tell(part: string, expected: unknown, got: unknown): string {
  return `${part}: expected ${JSON.stringify(expected)}, got ${JSON.stringify(got)}`;
}
