/** Agents that would meet: what is still at a site against what is about to come. */

import { groupedBy } from "./grouping.ts";
import { byAscii } from "./keys.ts";
import { UNKNOWN } from "./rack.ts";
import type { Reactions } from "./reactions.ts";
import { type IsUncertain, separated, uncertainty } from "./residue.ts";
import { CHAMBER, isOpen } from "./sites.ts";
import type { Level, PairLevel, ProposedAct, Residue, VisitRecord, Warning } from "./types.ts";
import { warning } from "./warnings.ts";

/** One warning for every two agents, rule and level, naming every site it holds for. */
export function pairs(reactions: Reactions, record: VisitRecord, act: ProposedAct): Warning[] {
  const place = new Place(record, act);
  const isUncertain = uncertainty(record.uncertain);
  const found = act.contents.flatMap(({ irrigant }) =>
    record.residues
      .filter((residue) => place.counts(residue.site))
      .flatMap((residue) => meeting(reactions, place, residue, irrigant, isUncertain) ?? []),
  );
  const together = groupedBy(found, (one) => `${one.rule} ${one.level} ${one.about}`);
  return [...together.values()].flatMap((alike) => {
    const [first] = alike;
    const sites = [...new Set(alike.flatMap((one) => one.sites))];
    return first === undefined ? [] : { ...first, sites };
  });
}

/** Which sites an act goes to, and which it may only run into. */
class Place {
  readonly #site: string | null;
  readonly #open: ReadonlySet<string>;

  constructor(record: VisitRecord, act: ProposedAct) {
    this.#site = act.site;
    const open = record.canals.filter((canal) => isOpen(canal.state));
    this.#open = new Set(open.map((canal) => canal.canal));
  }

  /** The act's own site, and the chamber it drains into; every site while it may go anywhere. */
  isOwn(site: string): boolean {
    return this.#site === null ? this.counts(site) : site === this.#site || site === CHAMBER;
  }

  counts(site: string): boolean {
    return site === this.#site || site === CHAMBER || this.#open.has(site);
  }
}

function meeting(
  reactions: Reactions,
  place: Place,
  residue: Residue,
  irrigant: string,
  isUncertain: IsUncertain,
): Warning | null {
  const agents = [reactions.agent(residue.irrigant), reactions.agent(irrigant)] as const;
  if (agents[0] === agents[1] && agents[0] !== UNKNOWN) return null;
  const about = [...agents].sort(byAscii).join("+");
  const sites = [residue.site];
  const isOwn = place.isOwn(residue.site);
  const pair = reactions.pair(residue.irrigant, irrigant);
  if (pair === null) return isOwn ? warning("pair_not_listed", "note", { about, sites }) : null;
  const tolerates = (rinse: string): boolean =>
    reactions.tolerates(residue.irrigant, rinse, irrigant);
  if (separated(residue, pair, tolerates, isUncertain)) return null;
  const { basis } = pair;
  if (residue.dressing) return warning("dressing_in_place", "hold", { about, sites, basis });
  const shaping = residue.carried ? pair.shaping_level : null;
  const level = said(shaping ?? pair.level, isOwn);
  return level === null ? null : warning("pair", level, { about, sites, basis });
}

function said(level: PairLevel, isOwn: boolean): Level | null {
  switch (level) {
    case "ok":
      return null;
    case "mild":
      return isOwn ? "note" : null;
    case "rinse":
      return isOwn ? "caution" : "note";
    case "rinse_dry":
      return "hold";
  }
}
