/** What is typed and what was answered; kept while the page lives, whatever screen is looked at. */

import { type ReadonlySignal, signal } from "@preact/signals";
import { NotConnected, Refusal, server } from "../../../store/server";
import {
  answerPath,
  askedOf,
  type Confirmed,
  canalPath,
  curvePath,
  type Figures,
  type Given,
  historyCuts,
  spanOf,
} from "./asking";
import type { Calculator, Values } from "./forms";

export interface Typed {
  readonly values: Values;
  readonly confirmed: Confirmed;
}

const NOTHING: Typed = { values: {}, confirmed: new Set() };
const typedSignal = signal<{ readonly [name in Calculator]?: Typed }>({});

export function typedOf(calculator: Calculator): Typed {
  return typedSignal.value[calculator] ?? NOTHING;
}

export function type(calculator: Calculator, values: Values): void {
  const { confirmed, values: before } = typedOf(calculator);
  const next = { confirmed, values: { ...before, ...values } };
  typedSignal.value = { ...typedSignal.value, [calculator]: next };
}

export function confirm(calculator: Calculator, key: string): void {
  const { confirmed, values } = typedOf(calculator);
  const next = { values, confirmed: new Set([...confirmed, key]) };
  typedSignal.value = { ...typedSignal.value, [calculator]: next };
}

export function clear(calculator: Calculator): void {
  typedSignal.value = { ...typedSignal.value, [calculator]: NOTHING };
}

/** A row of a curve: figures by name. */
export type CurveRow = { readonly [name: string]: number | null };

export type Extra<Value> =
  | { readonly at: "coming" }
  | { readonly at: "here"; readonly value: Value }
  | { readonly at: "missing" };

export type Answered =
  | {
      readonly at: "open";
      readonly missing: readonly string[];
      readonly questioned: readonly string[];
    }
  | { readonly at: "asking" }
  | { readonly at: "away" }
  | { readonly at: "refused"; readonly where: readonly string[]; readonly refusal: Refusal }
  | { readonly at: "unreadable" }
  | {
      readonly at: "here";
      readonly given: Given;
      readonly figures: Figures;
      /** Something else is being asked already. */
      readonly stale: boolean;
      readonly curve: Extra<readonly CurveRow[]>;
      readonly canal: Extra<Figures>;
    };

const answeredSignal = signal<{ readonly [name in Calculator]?: Answered }>({});

export function answeredOf(calculator: Calculator): Answered {
  return answeredSignal.value[calculator] ?? { at: "asking" };
}

const DEBOUNCE_MS = 250;
const asking = new Map<Calculator, { path: string; stop: () => void }>();

/** Ask for what is typed, once it stays typed for a moment. The same question is not asked twice. */
export function askSoon(calculator: Calculator, again = false): void {
  const { values, confirmed } = typedOf(calculator);
  const asked = askedOf(calculator, values, confirmed);
  const path = asked.at === "ready" ? answerPath(calculator, asked.given) : "";
  const before = asking.get(calculator);
  if (before?.path === path && path !== "" && !again) return;
  before?.stop();
  asking.delete(calculator);
  if (asked.at === "open") {
    put(calculator, asked);
    return;
  }
  const known = answeredOf(calculator);
  put(calculator, known.at === "here" ? { ...known, stale: true } : { at: "asking" });
  let live = true;
  const wait = setTimeout(() => {
    void askNow(calculator, asked.given, () => live);
  }, DEBOUNCE_MS);
  const stop = (): void => {
    live = false;
    clearTimeout(wait);
  };
  asking.set(calculator, { path, stop });
}

async function askNow(calculator: Calculator, given: Given, live: () => boolean): Promise<void> {
  let figures: Figures;
  try {
    figures = await server().get<Figures>(answerPath(calculator, given));
  } catch (found) {
    if (!live()) return;
    asking.delete(calculator);
    put(calculator, failureOf(found));
    return;
  }
  if (!live()) return;
  put(calculator, {
    at: "here",
    given,
    figures,
    stale: false,
    curve: { at: "coming" },
    canal: { at: "coming" },
  });
  const [curve, canal] = await Promise.all([
    extra(curveOf(calculator, given, figures)),
    extra(canalOf(calculator, given, figures)),
  ]);
  if (live()) put(calculator, { at: "here", given, figures, stale: false, curve, canal });
}

async function extra<Value>(work: Promise<Value>): Promise<Extra<Value>> {
  try {
    return { at: "here", value: await work };
  } catch {
    return { at: "missing" };
  }
}

async function curveOf(
  calculator: Calculator,
  given: Given,
  figures: Figures,
): Promise<readonly CurveRow[]> {
  if (typeof given.history === "string") return historyCurve(given, given.history);
  const span = spanOf(calculator, given, figures);
  if (span === null) return [];
  const path = curvePath(calculator, given, span);
  return (await server().get<{ readonly rows: readonly CurveRow[] }>(path)).rows;
}

async function historyCurve(given: Given, history: string): Promise<readonly CurveRow[]> {
  return Promise.all(
    historyCuts(history).map(async (cut) => {
      const path = answerPath("storage", { ...given, history: cut.history });
      const figures = await server().get<CurveRow>(path);
      return { ...figures, days: cut.days };
    }),
  );
}

async function canalOf(calculator: Calculator, given: Given, figures: Figures): Promise<Figures> {
  const path = calculator === "canal" ? null : canalPath(given);
  return path === null ? figures : server().get<Figures>(path);
}

function failureOf(found: unknown): Answered {
  if (found instanceof NotConnected) return { at: "away" };
  if (found instanceof Refusal) {
    const where = (found.where ?? "").split(", ").filter((name) => name !== "");
    return { at: "refused", where, refusal: found };
  }
  return { at: "unreadable" };
}

function put(calculator: Calculator, answered: Answered): void {
  answeredSignal.value = { ...answeredSignal.value, [calculator]: answered };
}

/** What the server lists of a calculator. */
export interface Listed {
  readonly name: string;
  readonly inputs: readonly {
    readonly name: string;
    readonly required: boolean;
    readonly default: unknown;
  }[];
  readonly example: { readonly [name: string]: number | string };
}

const listedSignal = signal<readonly Listed[] | null>(null);
/** Every calculator with its defaults and example; null = not heard yet. */
export const listed: ReadonlySignal<readonly Listed[] | null> = listedSignal;

/** Hear the list, unless it is known. What cannot be heard now is heard when the line is up again. */
export async function hearList(): Promise<void> {
  if (listedSignal.peek() !== null) return;
  try {
    listedSignal.value = await server().get<readonly Listed[]>("/calc");
  } catch (found) {
    if (!(found instanceof NotConnected || found instanceof Refusal)) throw found;
  }
}

/** Values of a calculator's example, with the basis its strength is on. */
export function exampleOf(calculator: Calculator, bases: readonly string[]): Values | null {
  const row = listed.value?.find((found) => found.name === calculator);
  if (row === undefined) return null;
  const values = Object.fromEntries(
    Object.entries(row.example).map(([name, value]) => [name, String(value)]),
  );
  const basis = bases.find((name) => values[name] !== undefined);
  if (basis !== undefined) return { ...values, basis };
  return calculator === "mix" ? { ...values, basis: "concentration_pct_wv" } : values;
}

export function defaultOf(calculator: Calculator, name: string): number | null {
  const row = listed.value?.find((found) => found.name === calculator);
  const value = row?.inputs.find((input) => input.name === name)?.default;
  return typeof value === "number" ? value : null;
}
