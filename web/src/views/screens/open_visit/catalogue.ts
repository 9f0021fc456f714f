/** The irrigants to choose from: those of the chosen kit, or of any kit that is here. */

import type { IrrigantEntry } from "../../../core/types.ts";
import { kitOf, kitRows } from "../../../store/clinic";
import { draft } from "./draft";

export function catalogueHere(): readonly IrrigantEntry[] {
  const { kit } = draft.value;
  const digests = [...(kit === null ? [] : [kit]), ...(kitRows.value ?? []).map((row) => row.kit)];
  for (const digest of digests) {
    const state = kitOf(digest).value;
    if (state.at === "here") return state.kit.catalogue.irrigants;
  }
  return [];
}
