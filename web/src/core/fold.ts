/**
 * The record: what a visit's events amount to, by the chapter "The record, exactly". It depends on the set
 * of events alone, whatever the order of arrival, repetition and split, and on no clock.
 */

import { standing } from "./amendments.ts";
import { amounts } from "./amounts.ts";
import type { KnownCanal } from "./depth.ts";
import { finding } from "./findings.ts";
import { lengthMs, overlap } from "./intervals.ts";
import { uncertainOrder } from "./order.ts";
import { ms, um } from "./quantities.ts";
import { Rack } from "./rack.ts";
import { Survey } from "./survey.ts";
import { type Op, type Swept, sweep } from "./sweep.ts";
import { timers } from "./timers.ts";
import { junctions, Tooth } from "./tooth.ts";
import type {
  Activated,
  AnyEvent,
  EventKind,
  Finding,
  Heard,
  Interval,
  Kit,
  LeftDressing,
  Milliseconds,
  Reach,
  Slice,
  Stay,
  VisitRecord,
} from "./types.ts";

/** Raised whenever the same events may give other totals; equal to the server's. */
export const FOLD_VERSION = 1;

/** Without a kit nothing reaches beyond its tip or out of the chamber: contact is understated. */
const NO_REACH: Reach = {
  chamber_reach_um: um(0),
  renew_within_ms: ms(0),
  clearance_um: um(0),
  unknown_tip_reach_um: um(0),
  tips: [],
  activations: [],
};

/** What cannot well happen once a visit is closed. */
const ACTS: ReadonlySet<EventKind> = new Set([
  "irrigant_delivered",
  "irrigant_removed",
  "activation_started",
  "activation_stopped",
  "instrument_used",
  "canal_recapitulated",
  "dressing_placed",
  "canal_filled",
  "check_done",
]);

const NOT_CLINICAL: ReadonlySet<EventKind> = new Set([
  "visit_closed",
  "note_added",
  "incident_noted",
  "team_changed",
  "protocol_changed",
]);

/** What the events of one visit amount to, read by the reach constants of the kit it pinned. */
export function fold(kit: Kit | null, events: readonly Heard[]): VisitRecord {
  const heard = standing(events);
  const { before, after, closedAtMs } = splitAtClose(heard.events);
  const amounted = amounts(heard.events);
  const survey = new Survey(kit?.catalogue.reach ?? NO_REACH, new Rack(heard.events), amounted);
  for (const event of before) survey.take(event);
  for (const event of after) survey.takeLate(event);
  const { placed, findings: unplaced } = junctions(survey.canals);
  const account = (ops: readonly Op[]): Swept & { readonly slices: readonly Slice[] } => {
    const tooth = new Tooth(survey.canals.keys(), placed);
    const swept = sweep(ops, tooth);
    return { ...swept, slices: slicesOf(tooth, survey.canals) };
  };
  const swept = account(survey.ops);
  const { slices } = swept;
  const hasCarried = survey.carried.length > 0;
  const carried = hasCarried ? account([...survey.ops, ...survey.carried]).slices : slices;
  const uncertain = uncertainOrder(before, heard.retimed);
  const canals = [...survey.canals.values()].map((known) => known.asCanal());
  const opened = heard.events.find((event) => event.kind === "visit_opened") ?? null;
  return {
    opened,
    canals,
    standing: heard.events,
    unread: heard.unread,
    versions: heard.versions,
    closed_at_ms: closedAtMs,
    last_clinical_ms: lastClinicalMs(before),
    slices,
    carried,
    chamber: swept.chamber,
    activations: swept.activations,
    deliveries: survey.deliveries,
    residues: survey.residues.all(),
    uncertain: uncertain.pairs,
    dressings: dressings(before, slices, canals),
    timers: timers(before, heard.saidAtMs, heard.voided),
    findings: [
      ...heard.findings,
      ...survey.findings,
      ...unplaced,
      ...amounted.findings,
      ...uncertain.findings,
      ...after.filter((event) => ACTS.has(event.kind)).map(afterClose),
      ...swept.findings,
      ...swept.activations.flatMap((span) => onNothing(span, slices)),
      ...(closedAtMs === null ? [] : openEnds(slices)),
    ],
  };
}

function slicesOf(tooth: Tooth, canals: ReadonlyMap<string, KnownCanal>): readonly Slice[] {
  return [...canals].flatMap(([canal, known]) => tooth.slices(canal, known.orificeUm));
}

/** Events up to the close, the close included, and those after it. */
function splitAtClose(events: readonly AnyEvent[]): {
  readonly before: readonly AnyEvent[];
  readonly after: readonly AnyEvent[];
  readonly closedAtMs: Milliseconds | null;
} {
  const at = events.findIndex((event) => event.kind === "visit_closed");
  const cut = at < 0 ? events.length : at + 1;
  return {
    before: events.slice(0, cut),
    after: events.slice(cut),
    closedAtMs: events[at]?.occurred_at_ms ?? null,
  };
}

function lastClinicalMs(before: readonly AnyEvent[]): Milliseconds | null {
  return before.findLast((event) => !NOT_CLINICAL.has(event.kind))?.occurred_at_ms ?? null;
}

function afterClose(event: AnyEvent): Finding {
  const site = "site" in event ? event.site : "canal" in event ? event.canal : null;
  const sites = site === null ? [] : [site];
  return finding("after_close", "notice", { sites, events: [event.id] });
}

/** The time of a span in which none of its depths held anything. */
function onNothing(span: Activated, slices: readonly Slice[]): Finding[] {
  const { start_ms: startMs, end_ms: endMs, stopped } = span;
  if (endMs === null || stopped === null) return [];
  const whole: Interval = [startMs, endMs];
  const held = slices.filter((slice) => reaches(span, slice)).flatMap(staysOf);
  const idleMs = endMs - startMs - lengthMs(overlap([whole], held));
  if (idleMs === 0) return [];
  const said = { sites: [span.canal], events: [span.started, stopped], ms: idleMs };
  return [finding("activation_on_nothing", "notice", said)];
}

function reaches(span: Activated, slice: Slice): boolean {
  const bottomUm = slice.to_um ?? Number.POSITIVE_INFINITY;
  const isThere = span.from_um < bottomUm && slice.from_um < span.to_um;
  return slice.site === span.canal && span.from_um < span.to_um && isThere;
}

function staysOf(slice: Slice): Interval[] {
  return slice.stays
    .filter((stay) => !stay.dressing)
    .map((stay) => [stay.start_ms, stay.end_ms ?? Number.POSITIVE_INFINITY]);
}

function openEnds(slices: readonly Slice[]): Finding[] {
  const isOpen = (stay: Stay): boolean => stay.end_ms === null && !stay.dressing;
  const open = slices.filter((slice) => slice.stays.some(isOpen)).map((slice) => slice.site);
  return [...new Set(open)].map((site) => finding("open_end", "notice", { sites: [site] }));
}

/** The dressings that were there at the start, each until the last of it went. */
function dressings(
  before: readonly AnyEvent[],
  slices: readonly Slice[],
  canals: VisitRecord["canals"],
): LeftDressing[] {
  const opened = before.find((event) => event.kind === "visit_opened");
  const left = opened?.present_at_start.filter((one) => one.dressing) ?? [];
  return left.map(({ site, contents, since_ms }) => {
    const canal = canals.find((one) => one.canal === site);
    const bottomUm = canal?.working_length_um ?? Number.POSITIVE_INFINITY;
    const ends = slices
      .filter((slice) => slice.site === site && slice.from_um < bottomUm)
      .flatMap((slice) => slice.stays)
      .filter((stay) => stay.dressing)
      .map((stay) => stay.end_ms);
    return { site, contents, since_ms, until_ms: lastOf(ends) };
  });
}

/** The latest of some ends; null of none, or while one is open. */
function lastOf(ends: readonly (Milliseconds | null)[]): Milliseconds | null {
  return ends.length === 0 || ends.includes(null) ? null : ms(Math.max(...ends.map(Number)));
}
