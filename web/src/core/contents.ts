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
  readonly fresh: readonly Interval[];
  readonly dressing: boolean;
}

interface Stretch {
  readonly topUm: number;
  readonly bottomUm: number;
  readonly past: readonly Stay[];
  readonly now: OpenStay | null;
  readonly active: readonly Interval[];
}

/** What a stretch takes from the one above it while a file goes by. */
export type Above = Pick<OpenStay, "contents" | "dressing"> | null;

/** One canal from its top to whatever lies deepest. */
export class Column {
  readonly site: string;
  #stretches: readonly Stretch[] = [
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
    const fresh: readonly Interval[] = freshUntilMs === null ? [] : [[atMs, freshUntilMs]];
    this.#change(range, (stretch) => {
      const { now } = stretch;
      if (now !== null && now.dressing === dressing && sameMix(now.contents, contents)) {
        return { ...stretch, now: { ...now, fresh: [...now.fresh, ...fresh] } };
      }
      return { ...ended(stretch, atMs), now: { contents, startMs: atMs, fresh, dressing } };
    });
  }

  /** Whatever is in a range ends. */
  end(range: Range, atMs: number): void {
    this.#change(range, (stretch) => ended(stretch, atMs));
  }

  /** An activation worked in a range. */
  activate(range: Range, span: Interval): void {
    this.#change(range, (stretch) => ({ ...stretch, active: [...stretch.active, span] }));
  }

  /** A file takes what stands above each empty part of a range into it; the lowest stay is answered. */
  carry(range: Range, above: Above, atMs: number): Above {
    let nearest = above;
    this.#change(range, (stretch) => {
      if (stretch.now !== null) {
        nearest = stretch.now;
        return stretch;
      }
      if (nearest === null || nearest.dressing) return stretch;
      const { contents } = nearest;
      return { ...stretch, now: { contents, startMs: atMs, fresh: [], dressing: false } };
    });
    return nearest;
  }

  /** What is at a depth now, dressings left out. */
  at(depthUm: number): Mix | null {
    const here = this.#stretches.find((s) => s.topUm <= depthUm && depthUm < s.bottomUm);
    return here?.now == null || here.now.dressing ? null : here.now.contents;
  }

  /** The stretches of a range in which something ever stayed; what has not ended has no end. */
  slices(range: Range): Slice[] {
    return this.#stretches
      .filter((stretch) => range.topUm < stretch.bottomUm && stretch.topUm < range.bottomUm)
      .map((stretch) => ({ stretch, bottomUm: Math.min(stretch.bottomUm, range.bottomUm) }))
      .map(({ stretch, bottomUm }) => ({
        site: this.site,
        from_um: um(Math.max(stretch.topUm, range.topUm)),
        to_um: bottomUm === Number.POSITIVE_INFINITY ? null : um(bottomUm),
        stays: stretch.now === null ? stretch.past : [...stretch.past, asStay(stretch.now, null)],
        active: stretch.active,
        shared_with: null,
      }))
      .filter((slice) => slice.stays.length > 0);
  }

  /** Change the parts of stretches that lie in a range, from the top down. */
  #change({ topUm, bottomUm }: Range, change: (stretch: Stretch) => Stretch): void {
    if (bottomUm <= topUm) return;
    const changed: Stretch[] = [];
    for (const stretch of this.#stretches) {
      const fromUm = Math.max(stretch.topUm, topUm);
      const toUm = Math.min(stretch.bottomUm, bottomUm);
      if (toUm <= fromUm) {
        changed.push(stretch);
        continue;
      }
      if (stretch.topUm < fromUm) changed.push({ ...stretch, bottomUm: fromUm });
      changed.push(change({ ...stretch, topUm: fromUm, bottomUm: toUm }));
      if (toUm < stretch.bottomUm) changed.push({ ...stretch, topUm: toUm });
    }
    this.#stretches = changed;
  }
}

function ended(stretch: Stretch, atMs: number): Stretch {
  const { now, past } = stretch;
  if (now === null) return stretch;
  return { ...stretch, now: null, past: atMs > now.startMs ? [...past, asStay(now, atMs)] : past };
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
