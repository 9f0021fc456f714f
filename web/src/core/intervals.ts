/** Spans of time as lists of [start, end): unions, overlaps and lengths. */

import type { Interval } from "./types.ts";

/** The same time without overlaps, in order; spans that touch become one. */
export function union(spans: readonly Interval[]): Interval[] {
  const merged: Interval[] = [];
  let last: Interval | undefined;
  for (const span of inOrder(spans)) {
    if (span[1] <= span[0]) continue;
    if (last !== undefined && span[0] <= last[1]) {
      if (span[1] <= last[1]) continue;
      last = [last[0], span[1]];
      merged[merged.length - 1] = last;
    } else {
      last = span;
      merged.push(span);
    }
  }
  return merged;
}

/** By start; most lists are so already and are not copied. */
function inOrder(spans: readonly Interval[]): readonly Interval[] {
  const isSorted = spans.every(([start], at) => at === 0 || (spans[at - 1]?.[0] ?? start) <= start);
  return isSorted ? spans : [...spans].sort((a, b) => a[0] - b[0]);
}

/** The time that is in both. */
export function overlap(left: readonly Interval[], right: readonly Interval[]): Interval[] {
  if (left.length === 0 || right.length === 0) return [];
  const found: Interval[] = [];
  const others = union(right);
  let first = 0;
  for (const [start, end] of union(left)) {
    while ((others[first]?.[1] ?? Number.POSITIVE_INFINITY) <= start) first += 1;
    for (const other of others.slice(first)) {
      if (other[0] >= end) break;
      found.push([Math.max(start, other[0]), Math.min(end, other[1])]);
    }
  }
  return found;
}

/** Length of the union. [ms] */
export function lengthMs(spans: readonly Interval[]): number {
  let sum = 0;
  for (const [start, end] of union(spans)) sum += end - start;
  return sum;
}

/** The longest span of the union. [ms] */
export function longestMs(spans: readonly Interval[]): number {
  let longest = 0;
  for (const [start, end] of union(spans)) longest = Math.max(longest, end - start);
  return longest;
}
