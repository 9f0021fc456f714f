/** What stays in one canal, by depth: stretches that split where an act begins or ends to reach. */

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
}

/** One canal from its top to whatever lies deepest. */
export class Column {
  readonly site: string;
  #stretches: readonly Stretch[] = [
    { topUm: 0, bottomUm: Number.POSITIVE_INFINITY, past: [], now: null },
  ];

  constructor(site: string) {
    this.site = site;
  }

  /** Contents begin from `topUm` to `bottomUm`; where the same are already there they go on. */
  begin(
    topUm: number,
    bottomUm: number,
    contents: Mix,
    atMs: number,
    {
      freshUntilMs = null,
      dressing = false,
    }: { freshUntilMs?: number | null; dressing?: boolean } = {},
  ): void {
    const fresh: readonly Interval[] = freshUntilMs === null ? [] : [[atMs, freshUntilMs]];
    this.#change(topUm, bottomUm, (stretch) => {
      const { now } = stretch;
      if (now !== null && now.dressing === dressing && sameMix(now.contents, contents)) {
        return { ...stretch, now: { ...now, fresh: [...now.fresh, ...fresh] } };
      }
      return { ...ended(stretch, atMs), now: { contents, startMs: atMs, fresh, dressing } };
    });
  }

  /** Whatever is there from `topUm` to `bottomUm` ends. */
  end(topUm: number, bottomUm: number, atMs: number): void {
    this.#change(topUm, bottomUm, (stretch) => ended(stretch, atMs));
  }

  /** What is at a depth now, dressings left out. */
  at(depthUm: number): Mix | null {
    const here = this.#stretches.find((s) => s.topUm <= depthUm && depthUm < s.bottomUm);
    return here?.now == null || here.now.dressing ? null : here.now.contents;
  }

  /** The stretches below the orifice in which something ever stayed; what has not ended has no end. */
  slices(orificeUm: number): Slice[] {
    return this.#stretches
      .filter((stretch) => stretch.bottomUm > orificeUm)
      .map((stretch) => ({
        site: this.site,
        from_um: um(Math.max(stretch.topUm, orificeUm)),
        to_um: stretch.bottomUm === Number.POSITIVE_INFINITY ? null : um(stretch.bottomUm),
        stays: stretch.now === null ? stretch.past : [...stretch.past, asStay(stretch.now, null)],
      }))
      .filter((slice) => slice.stays.length > 0);
  }

  #change(topUm: number, bottomUm: number, change: (stretch: Stretch) => Stretch): void {
    if (bottomUm <= topUm) return;
    this.#stretches = this.#stretches.flatMap((stretch) => {
      if (stretch.bottomUm <= topUm || bottomUm <= stretch.topUm) return [stretch];
      const from = Math.max(stretch.topUm, topUm);
      const to = Math.min(stretch.bottomUm, bottomUm);
      const above = { ...stretch, bottomUm: from };
      const below = { ...stretch, topUm: to };
      const within = change({ ...stretch, topUm: from, bottomUm: to });
      return [above, within, below].filter((one) => one.topUm < one.bottomUm);
    });
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
