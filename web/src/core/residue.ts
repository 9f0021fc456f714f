/** What may still be at a site, and whether the record holds what separates it from the next agent. */

import { CHAMBER } from "./sites.ts";
import type { Clearing, Milliseconds, Mix, Pair, Residue } from "./types.ts";

interface Soil {
  readonly id: string;
  readonly occurred_at_ms: Milliseconds;
}

/** Residues while events are read in the order of their keys. */
export class Residues {
  readonly #bySite = new Map<string, Map<string, Residue>>();

  /** Contents came from an act at `origin` to the sites it reached, and to the chamber. */
  soil(
    origin: string,
    reached: Iterable<string>,
    contents: Mix,
    soil: Soil,
    { dressing = false, carried = false }: { dressing?: boolean; carried?: boolean } = {},
  ): void {
    for (const site of new Set([...reached, CHAMBER])) {
      for (const { irrigant } of contents) {
        this.#at(site).set(irrigant, {
          site,
          irrigant,
          soil: soil.id,
          at_ms: soil.occurred_at_ms,
          origin,
          dressing,
          carried,
          clearing: [],
        });
      }
    }
  }

  /** An act at a site that may clear what is there. */
  clear(site: string, act: Clearing): void {
    this.#change(site, (residue) => ({ ...residue, clearing: [...residue.clearing, act] }));
  }

  /** A file worked in a canal: it carries what is there, and what came of it above. */
  filed(canal: string): void {
    this.#change(canal, (residue) => ({ ...residue, carried: true }));
    this.#change(CHAMBER, (residue) => {
      const came = residue.origin === canal || residue.origin === CHAMBER;
      return { ...residue, carried: residue.carried || came };
    });
  }

  /** A canal was filled for good. */
  forget(canal: string): void {
    this.#bySite.delete(canal);
  }

  all(): Residue[] {
    return [...this.#bySite.values()].flatMap((there) => [...there.values()]);
  }

  #at(site: string): Map<string, Residue> {
    const there = this.#bySite.get(site) ?? new Map<string, Residue>();
    this.#bySite.set(site, there);
    return there;
  }

  #change(site: string, change: (residue: Residue) => Residue): void {
    const there = this.#bySite.get(site);
    if (there === undefined) return;
    for (const [irrigant, residue] of there) there.set(irrigant, change(residue));
  }
}

/** Whether two events may have happened the other way round. */
export type IsUncertain = (one: string, other: string) => boolean;

/** Answers from the record's pairs, whichever comes first. */
export function uncertainty(pairs: readonly (readonly [string, string])[]): IsUncertain {
  const known = new Set(pairs.flatMap(([one, other]) => [`${one} ${other}`, `${other} ${one}`]));
  return (one, other) => known.has(`${one} ${other}`);
}

/**
 * Whether the record holds, in order, what the pair asks: its volume of a rinse, then its removals.
 * An act that may have come before what it must follow does not count.
 *
 * @param tolerates Whether an irrigant is `ok` after the one agent and before the other.
 */
export function separated(
  residue: Residue,
  pair: Pair,
  tolerates: (irrigant: string) => boolean,
  isUncertain: IsUncertain,
): boolean {
  if (pair.level === "ok") return true;
  const acts = residue.clearing.filter((act) => !isUncertain(act.event, residue.soil));
  const rinsedAt = rinsed(acts, pair.rinse_ul, tolerates);
  if (rinsedAt === null) return false;
  const rinse = acts[rinsedAt]?.event ?? null;
  const removals = acts
    .slice(rinsedAt + 1)
    .filter((act) => act.removes && (rinse === null || !isUncertain(act.event, rinse)));
  return removals.length >= pair.removals;
}

/** Place of the rinse that reached the volume; -1 if none is asked, null while it is not reached. */
function rinsed(
  acts: readonly Clearing[],
  rinseUl: number,
  tolerates: (irrigant: string) => boolean,
): number | null {
  if (rinseUl === 0) return -1;
  let volumeUl = 0;
  for (const [at, act] of acts.entries()) {
    if (act.contents?.every(({ irrigant }) => tolerates(irrigant)) !== true) continue;
    volumeUl += act.volume_ul ?? 0;
    if (volumeUl >= rinseUl) return at;
  }
  return null;
}
