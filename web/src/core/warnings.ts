/** How a warning is made: what is not said is empty. */

import type { Level, Warning } from "./types.ts";

export function warning(
  rule: string,
  level: Level,
  said: Partial<Pick<Warning, "about" | "sites" | "basis">> = {},
): Warning {
  return { rule, level, about: "", sites: [], basis: null, ...said };
}
