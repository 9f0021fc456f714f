/** Which acts of different devices may have happened the other way round. */

import { finding } from "./findings.ts";
import { groupedBy } from "./grouping.ts";
import { CHAMBER } from "./sites.ts";
import type {
  ActivationStarted,
  ActivationStopped,
  AnyEvent,
  Finding,
  IrrigantDelivered,
  IrrigantRemoved,
} from "./types.ts";

export type SiteAct = IrrigantDelivered | IrrigantRemoved | ActivationStarted | ActivationStopped;

export interface Uncertain {
  readonly pairs: readonly (readonly [string, string])[];
  readonly findings: readonly Finding[];
}

/**
 * The pairs of acts at one site whose order the clocks do not decide.
 *
 * @param standing Standing events in the order of their keys.
 * @param retimed Events whose time a person gave by a correction; no clock speaks for those.
 */
export function uncertainOrder(
  standing: readonly AnyEvent[],
  retimed: ReadonlySet<string>,
): Uncertain {
  const clocked = standing.filter(
    (event): event is SiteAct => isSiteAct(event) && !event.dated_by_hand && !retimed.has(event.id),
  );
  const pairs = new Map<string, readonly [string, string]>();
  const findings: Finding[] = [];
  for (const [site, acts] of groupedBy(clocked, siteOf)) {
    for (const [first, second] of closePairs(acts)) {
      const events = [first.id, second.id] as const;
      pairs.set(events.join(" "), events);
      findings.push(finding("order_uncertain", "notice", { sites: [site], events }));
    }
  }
  for (const [first, second] of whereTheyMeet(clocked)) {
    pairs.set(`${first.id} ${second.id}`, [first.id, second.id]);
  }
  return { pairs: [...pairs.values()], findings };
}

/** For what residues share: a canal with the chamber's deliveries, the chamber with all. */
function whereTheyMeet(clocked: readonly SiteAct[]): (readonly [SiteAct, SiteAct])[] {
  const sites = new Set([...clocked.map(siteOf), CHAMBER]);
  return [...sites].flatMap((site) => closePairs(clocked.filter((act) => meets(act, site))));
}

/** Whether an act soils or clears a site. */
function meets(act: SiteAct, site: string): boolean {
  if (siteOf(act) === site) return true;
  return act.kind === "irrigant_delivered" && (site === CHAMBER || act.site === CHAMBER);
}

function isSiteAct(event: AnyEvent): event is SiteAct {
  return (
    event.kind === "irrigant_delivered" ||
    event.kind === "irrigant_removed" ||
    event.kind === "activation_started" ||
    event.kind === "activation_stopped"
  );
}

function siteOf(act: SiteAct): string {
  return "site" in act ? act.site : act.canal;
}

function closePairs(acts: readonly SiteAct[]): (readonly [SiteAct, SiteAct])[] {
  const widestMs = Math.max(0, ...acts.map((act) => act.clock_error_ms ?? 0));
  return acts.flatMap((first, at) => {
    const found: (readonly [SiteAct, SiteAct])[] = [];
    for (const [steps, second] of acts.slice(at + 1).entries()) {
      const apartMs = second.occurred_at_ms - first.occurred_at_ms;
      if (steps > 0 && apartMs >= 2 * widestMs) break;
      if (second.device !== first.device && couldSwap(first, second, apartMs, steps === 0)) {
        found.push([first, second]);
      }
    }
    return found;
  });
}

/** Within the sum of both errors; a clock without bound says so of neighbours only. */
function couldSwap(first: SiteAct, second: SiteAct, apartMs: number, neighbours: boolean): boolean {
  if (first.clock_error_ms === null || second.clock_error_ms === null) return neighbours;
  return apartMs < first.clock_error_ms + second.clock_error_ms;
}
