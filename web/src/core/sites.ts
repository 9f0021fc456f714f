/** Where something can be: a canal by its name, or the chamber that all canals drain into. */

import type { Canal } from "./types.ts";

export const CHAMBER = "chamber";

/** Whether what is in the chamber can run into a canal. */
export function isOpen(state: Canal["state"]): boolean {
  return state !== "filled" && state !== "left";
}
