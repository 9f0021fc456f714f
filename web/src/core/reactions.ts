/**
 * What the kit knows of one agent after another. Agents are compared by `reacts_as`, so that a chelating gel
 * has the pairs of its chelator.
 */

import { ul } from "./quantities.ts";
import { UNKNOWN } from "./rack.ts";
import type { Catalogue, IrrigantEntry, Pair } from "./types.ts";

export class Reactions {
  readonly #irrigants: ReadonlyMap<string, IrrigantEntry>;
  readonly #pairs: ReadonlyMap<string, Pair>;
  readonly #withUnknown: Pair;

  constructor(catalogue: Catalogue) {
    this.#irrigants = new Map(catalogue.irrigants.map((entry) => [entry.irrigant, entry]));
    this.#pairs = new Map(catalogue.pairs.map((pair) => [`${pair.first} ${pair.second}`, pair]));
    this.#withUnknown = strictest(catalogue);
  }

  /** The agent whose pairs hold for an irrigant; itself when the catalogue has none. */
  agent(irrigant: string): string {
    return this.#irrigants.get(irrigant)?.reacts_as ?? irrigant;
  }

  kind(irrigant: string): IrrigantEntry["kind"] {
    return this.#irrigants.get(irrigant)?.kind ?? "unknown";
  }

  /** What holds when `second` comes after `first`; null when the catalogue has no such pair. */
  pair(first: string, second: string): Pair | null {
    const one = this.agent(first);
    const other = this.agent(second);
    if (one === UNKNOWN || other === UNKNOWN) {
      const known = one === UNKNOWN ? other : one;
      return this.kind(known) === "rinse" ? TOLERATED : this.#withUnknown;
    }
    return one === other ? TOLERATED : (this.#pairs.get(`${one} ${other}`) ?? null);
  }

  /** Whether an irrigant is `ok` after the one and before the other. */
  tolerates(first: string, between: string, second: string): boolean {
    return this.pair(first, between)?.level === "ok" && this.pair(between, second)?.level === "ok";
  }
}

const TOLERATED: Pair = {
  first: "",
  second: "",
  level: "ok",
  shaping_level: null,
  rinse_ul: ul(0),
  removals: 0,
  same_barrel: "ok",
  effects: [],
  basis: "reasoned",
  source: null,
};

/** Contents that nobody can name ask for as much as the most demanding pair of the catalogue. */
function strictest(catalogue: Catalogue): Pair {
  const dry = catalogue.pairs.filter((pair) => pair.level === "rinse_dry");
  return {
    ...TOLERATED,
    level: "rinse_dry",
    rinse_ul: ul(Math.max(0, ...dry.map((pair) => pair.rinse_ul))),
    removals: dry.length === 0 ? 1 : Math.max(...dry.map((pair) => pair.removals)),
    same_barrel: "never",
  };
}
