/**
 * What is said before an act, by the chapter "The guard, exactly": holds, cautions, notes. It warns and never
 * refuses; it never says that an act is without risk, and it defers to licensed judgement and local codes.
 */

import { cautions } from "./guard_cautions.ts";
import { holds } from "./guard_holds.ts";
import { pairs } from "./guard_pairs.ts";
import { byAscii } from "./keys.ts";
import { Reactions } from "./reactions.ts";
import { CHAMBER } from "./sites.ts";
import type { Kit, Level, ProposedAct, VisitRecord, Warning } from "./types.ts";
import { warning } from "./warnings.ts";

const RANK: { readonly [level in Level]: number } = { hold: 0, caution: 1, note: 2 };

/**
 * Warnings before an act, holds first. Without a kit the one warning is that there is none.
 *
 * @param said Notes spoken on this device that are not yet on record.
 */
export function guard(
  kit: Kit | null,
  record: VisitRecord,
  act: ProposedAct,
  said: readonly Pick<Warning, "rule" | "about">[] = [],
): readonly Warning[] {
  if (kit === null) return [warning("guard_unavailable", "note")];
  const reactions = new Reactions(kit.catalogue);
  const spoken = record.standing.filter((event) => event.kind === "guard_spoke");
  const heard = new Set([...spoken, ...said].map(topic));
  return [
    ...pairs(reactions, record, act),
    ...holds(kit, reactions, record, act),
    ...cautions(kit, reactions, record, act),
    ...notes(record, act),
  ]
    .filter((one) => one.level !== "note" || !heard.has(topic(one)))
    .sort(
      (a, b) =>
        RANK[a.level] - RANK[b.level] || byAscii(a.rule, b.rule) || byAscii(a.about, b.about),
    );
}

/** What a warning is about, the two agents of a pair in any order. */
function topic({ rule, about }: Pick<Warning, "rule" | "about">): string {
  return `${rule} ${about.split("+").sort(byAscii).join("+")}`;
}

function notes(record: VisitRecord, { site }: ProposedAct): Warning[] {
  if (site === null || site === CHAMBER) return [];
  const canal = record.canals.find((one) => one.canal === site);
  if (canal !== undefined && canal.working_length_um !== null) return [];
  return [warning("working_length_unknown", "note", { sites: [site] })];
}
