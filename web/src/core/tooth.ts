/**
 * The columns of a tooth, and where one canal runs into another. Beyond a junction both are one: its stretches
 * live in the column of the canal that is joined, and every act in either canal reaches them there.
 */

import { Column } from "./contents.ts";
import type { KnownCanal, Range } from "./depth.ts";
import { finding } from "./findings.ts";
import { um } from "./quantities.ts";
import type { Finding, Interval, Mix, Slice } from "./types.ts";

/** From `atUm` on a canal is `into`, whose depths are greater by `shiftUm`. */
export interface Junction {
  readonly into: string;
  readonly atUm: number;
  readonly shiftUm: number;
}

export interface Junctions {
  readonly placed: ReadonlyMap<string, Junction>;
  readonly findings: readonly Finding[];
}

/** Every junction that can be placed: both working lengths must be known, and a ring is not followed. */
export function junctions(canals: ReadonlyMap<string, KnownCanal>): Junctions {
  const placed = new Map<string, Junction>();
  const findings: Finding[] = [];
  for (const [canal, known] of canals) {
    const { joins, workingLengthUm } = known;
    if (joins === null) continue;
    const otherUm = canals.get(joins.canal)?.workingLengthUm ?? null;
    const sites = [canal, joins.canal];
    if (workingLengthUm === null || otherUm === null) {
      findings.push(finding("join_without_length", "notice", { sites }));
    } else if (leadsBack(canal, joins.canal, placed)) {
      findings.push(finding("join_in_a_ring", "notice", { sites }));
    } else {
      placed.set(canal, {
        into: joins.canal,
        atUm: Math.max(0, workingLengthUm - joins.short_of_wl_um),
        shiftUm: otherUm - workingLengthUm,
      });
    }
  }
  return { placed, findings };
}

function leadsBack(start: string, into: string, placed: ReadonlyMap<string, Junction>): boolean {
  let at: string | undefined = into;
  while (at !== undefined && at !== start) at = placed.get(at)?.into;
  return at === start;
}

/** A part of a canal as it lies in some column, whose depths are greater by `shiftUm`. */
interface Part {
  readonly column: Column;
  readonly range: Range;
  readonly shiftUm: number;
}

/** All columns of a tooth. */
export class Tooth {
  readonly #columns: ReadonlyMap<string, Column>;
  readonly #joined: ReadonlyMap<string, Junction>;

  constructor(canals: Iterable<string>, joined: ReadonlyMap<string, Junction>) {
    this.#columns = new Map([...canals].map((canal) => [canal, new Column(canal)]));
    this.#joined = joined;
  }

  begin(canal: string, range: Range, ...how: BeginHow): void {
    for (const part of this.#parts(canal, range)) part.column.begin(part.range, ...how);
  }

  end(canal: string, range: Range, atMs: number): void {
    for (const part of this.#parts(canal, range)) part.column.end(part.range, atMs);
  }

  activate(canal: string, range: Range, span: Interval): void {
    for (const part of this.#parts(canal, range)) part.column.activate(part.range, span);
  }

  /** A file worked in a range, across junctions, and may have taken contents deeper. */
  carry(canal: string, range: Range, atMs: number): void {
    let above: Mix | null = null;
    for (const part of this.#parts(canal, range)) {
      above = part.column.carry(part.range, above, atMs);
    }
  }

  /** What is now just below a depth of a canal; null = nothing, or a dressing. */
  at(canal: string, depthUm: number): Mix | null {
    const below = { topUm: depthUm, bottomUm: Number.POSITIVE_INFINITY };
    const [part] = this.#parts(canal, below);
    return part === undefined ? null : part.column.at(part.range.topUm);
  }

  /** The stretches of a canal below a depth, in its own depths; those it shares say with which canal. */
  slices(canal: string, topUm: number): Slice[] {
    const below = { topUm, bottomUm: Number.POSITIVE_INFINITY };
    return this.#parts(canal, below).flatMap(({ column, range, shiftUm }) =>
      column.slices(range).map((slice) => ({
        ...slice,
        site: canal,
        from_um: um(slice.from_um - shiftUm),
        to_um: slice.to_um === null ? null : um(slice.to_um - shiftUm),
        shared_with: column.site === canal ? null : column.site,
      })),
    );
  }

  #parts(canal: string, { topUm, bottomUm }: Range, shiftUm = 0): Part[] {
    const column = this.#columns.get(canal);
    if (column === undefined) throw new Error(`an act in ${canal}, which the survey did not name`);
    const junction = this.#joined.get(canal);
    if (junction === undefined) return [{ column, range: { topUm, bottomUm }, shiftUm }];
    const { atUm, into } = junction;
    const own = { topUm, bottomUm: Math.min(atUm, bottomUm) };
    const beyond = {
      topUm: Math.max(0, Math.max(topUm, atUm) + junction.shiftUm),
      bottomUm: Math.max(0, bottomUm + junction.shiftUm),
    };
    return [
      ...(topUm < atUm ? [{ column, range: own, shiftUm }] : []),
      ...(bottomUm > atUm ? this.#parts(into, beyond, shiftUm + junction.shiftUm) : []),
    ];
  }
}

type BeginHow = Parameters<Column["begin"]> extends [Range, ...infer Rest] ? Rest : never;
