/** Spans of time as lists of [start, end): unions, overlaps, gaps and lengths. */

import type { Interval } from "./types.ts";

/** The same time without overlaps, in order; spans that touch become one. */
export function union(spans: readonly Interval[]): Interval[] {
  const ordered = spans.filter(([start, end]) => end > start).sort((a, b) => a[0] - b[0]);
  const merged: [number, number][] = [];
  for (const [start, end] of ordered) {
    const last = merged.at(-1);
    if (last !== undefined && start <= last[1]) last[1] = Math.max(last[1], end);
    else merged.push([start, end]);
  }
  return merged;
}

/** The time that is in both. */
export function overlap(left: readonly Interval[], right: readonly Interval[]): Interval[] {
  const found: Interval[] = [];
  for (const a of left) {
    for (const b of right) {
      const start = Math.max(a[0], b[0]);
      const end = Math.min(a[1], b[1]);
      if (end > start) found.push([start, end]);
    }
  }
  return union(found);
}

/** Length of the union. [ms] */
export function lengthMs(spans: readonly Interval[]): number {
  return union(spans).reduce((sum, [start, end]) => sum + end - start, 0);
}

/** The longest span of the union. [ms] */
export function longestMs(spans: readonly Interval[]): number {
  return union(spans).reduce((longest, [start, end]) => Math.max(longest, end - start), 0);
}
