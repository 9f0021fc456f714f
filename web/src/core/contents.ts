/** What stays in one canal, by depth: stretches that split where an act begins or ends to reach. */

import type { Range } from "./depth.ts";
import { byAscii } from "./keys.ts";
import { ms, um } from "./quantities.ts";
import type { Component, Interval, Mix, Slice, Stay } from "./types.ts";

/** Contents in their one order: by irrigant, then strength, unknown first; a repeated one once. */
export function mixed(contents: readonly Component[]): Mix {
  const ordered = [...contents].sort(
    (a, b) => byAscii(a.irrigant, b.irrigant) || strength(a) - strength(b),
  );
  return ordered.filter((one, at) => at === 0 || !sameComponent(one, ordered[at - 1]));
}

/** Whether two contents in their one order are the same, strengths included. */
export function sameMix(a: Mix, b: Mix): boolean {
  return a.length === b.length && a.every((one, at) => sameComponent(one, b[at]));
}

function sameComponent(a: Component, b: Component | undefined): boolean {
  return a.irrigant === b?.irrigant && a.concentration_mg_per_l === b.concentration_mg_per_l;
}

function strength(component: Component): number {
  return component.concentration_mg_per_l ?? -1;
}

interface OpenStay {
  readonly contents: Mix;
  readonly startMs: number;
  readonly fresh: Interval[];
  readonly dressing: boolean;
}

interface Stretch {
  readonly topUm: number;
  bottomUm: number;
  readonly past: Stay[];
  now: OpenStay | null;
  readonly active: Interval[];
}

/** One canal from its top to whatever lies deepest; changed in the order of effective instants. */
export class Column {
  readonly site: string;
  readonly #stretches: Stretch[] = [
    { topUm: 0, bottomUm: Number.POSITIVE_INFINITY, past: [], now: null, active: [] },
  ];

  constructor(site: string) {
    this.site = site;
  }

  /** Contents begin in a range; where the same are already there they go on. */
  begin(
    range: Range,
    contents: Mix,
    atMs: number,
    {
      freshUntilMs = null,
      dressing = false,
    }: { freshUntilMs?: number | null; dressing?: boolean } = {},
  ): void {
    for (const stretch of this.#within(range)) {
      const { now } = stretch;
      if (now === null || now.dressing !== dressing || !sameMix(now.contents, contents)) {
        end(stretch, atMs);
        stretch.now = { contents, startMs: atMs, fresh: [], dressing };
      }
      if (freshUntilMs !== null) stretch.now?.fresh.push([atMs, freshUntilMs]);
    }
  }

  /** Whatever is in a range ends. */
  end(range: Range, atMs: number): void {
    for (const stretch of this.#within(range)) end(stretch, atMs);
  }

  /** An activation worked in a range. */
  activate(range: Range, span: Interval): void {
    for (const stretch of this.#within(range)) stretch.active.push(span);
  }

  /**
   * A file takes what stands nearest above each empty part of a range into it.
   *
   * @param above What stands above the range; null = nothing, or a dressing.
   * @returns What stands above the range's end afterwards.
   */
  carry(range: Range, above: Mix | null, atMs: number): Mix | null {
    let nearest = above;
    for (const stretch of this.#within(range)) {
      const { now } = stretch;
      if (now !== null) nearest = now.dressing ? null : now.contents;
      else if (nearest !== null) {
        stretch.now = { contents: nearest, startMs: atMs, fresh: [], dressing: false };
      }
    }
    return nearest;
  }

  /** What is at a depth now, dressings left out. */
  at(depthUm: number): Mix | null {
    const here = this.#stretches.find((s) => s.topUm <= depthUm && depthUm < s.bottomUm);
    return here?.now == null || here.now.dressing ? null : here.now.contents;
  }

  /** The stretches of a range in which something ever stayed; what has not ended has no end. */
  slices(range: Range): Slice[] {
    return this.#within(range)
      .map(({ topUm, bottomUm, past, now, active }) => ({
        site: this.site,
        from_um: um(topUm),
        to_um: bottomUm === Number.POSITIVE_INFINITY ? null : um(bottomUm),
        stays: now === null ? past : [...past, asStay(now, null)],
        active,
        shared_with: null,
      }))
      .filter((slice) => slice.stays.length > 0);
  }

  /** The stretches of a range from the top down, cut where it begins and ends. */
  #within({ topUm, bottomUm }: Range): readonly Stretch[] {
    if (bottomUm <= topUm) return [];
    this.#cut(topUm);
    this.#cut(bottomUm);
    return this.#stretches.filter((one) => topUm <= one.topUm && one.bottomUm <= bottomUm);
  }

  #cut(depthUm: number): void {
    const at = this.#stretches.findIndex((one) => one.topUm < depthUm && depthUm < one.bottomUm);
    const upper = this.#stretches[at];
    if (upper === undefined) return;
    const { now, past, active } = upper;
    const lower = {
      topUm: depthUm,
      bottomUm: upper.bottomUm,
      past: [...past],
      now: now === null ? null : { ...now, fresh: [...now.fresh] },
      active: [...active],
    };
    upper.bottomUm = depthUm;
    this.#stretches.splice(at + 1, 0, lower);
  }
}

/** What is there ends; what lasted no time leaves no trace. */
function end(stretch: Stretch, atMs: number): void {
  if (stretch.now !== null && atMs > stretch.now.startMs) {
    stretch.past.push(asStay(stretch.now, atMs));
  }
  stretch.now = null;
}

/** Fresh spans last no longer than the contents they belong to. */
function asStay(stay: OpenStay, endMs: number | null): Stay {
  const fresh = stay.fresh.map(
    ([start, end]): Interval => [start, endMs === null ? end : Math.min(end, endMs)],
  );
  return {
    contents: stay.contents,
    start_ms: ms(stay.startMs),
    end_ms: endMs === null ? null : ms(endMs),
    fresh: fresh.filter(([start, end]) => end > start),
    dressing: stay.dressing,
  };
}
