/**
 * Which files the app comes in: few, so that each compresses well, and in the order they are needed.
 *
 * `main` is what the first screen needs by itself, `core` the fold beside it, then what is worked with
 * at the chair, what prepares a visit, and the desk. A module that several of these need stands in the
 * one that comes first in this list.
 */

import type { Plugin } from "vite";

/** As far as a bundler's knowledge of a module is needed here: what it imports, statically. */
export type ImportsOf = (id: string) => readonly string[];

interface Group {
  readonly name: string;
  readonly roots: readonly RegExp[];
}

const GROUPS: readonly Group[] = [
  { name: "main", roots: [/\/src\/main\.tsx$/] },
  { name: "core", roots: [/\/src\/store\/core_parts\.ts$/] },
  {
    name: "beside",
    roots: [/\/src\/sync\/(keeping|worker)\.ts$/, /\/src\/views\/parts\/app_bands\.tsx$/],
  },
  { name: "chair", roots: [/\/screens\/(chair|incident)\/index\.tsx$/] },
  { name: "before", roots: [/\/screens\/(open_visit|staff_pick|protocols|set_out)\/index\.tsx$/] },
  { name: "desk", roots: [/\/screens\/[a-z_]+\/index\.tsx$/] },
];

/** Where each module goes, given all of them. */
export function placesOf(
  ids: readonly string[],
  importsOf: ImportsOf,
): ReadonlyMap<string, string> {
  const placed = new Map<string, string>();
  for (const { name, roots } of GROUPS) {
    const waiting = ids.filter((id) => roots.some((root) => root.test(plain(id))));
    for (let id = waiting.pop(); id !== undefined; id = waiting.pop()) {
      if (placed.has(id)) continue;
      placed.set(id, name);
      waiting.push(...importsOf(id));
    }
  }
  return placed;
}

function plain(id: string): string {
  return id.replaceAll("\\", "/");
}

/** The vite plugin, and the name of the file that a module goes into; null = where the bundler puts it. */
export function chunks(): {
  readonly plugin: Plugin;
  readonly nameOf: (id: string) => string | null;
} {
  let places: ReadonlyMap<string, string> = new Map();
  return {
    plugin: {
      name: "canalclock-chunks",
      apply: "build",
      buildEnd() {
        const importsOf: ImportsOf = (id) => this.getModuleInfo(id)?.importedIds ?? [];
        places = placesOf([...this.getModuleIds()], importsOf);
      },
    },
    nameOf: (id) => places.get(id) ?? null,
  };
}
