/**
 * What stands in the canals at an instant, read from the record: the step before drawing.
 *
 * Nothing is computed that the fold did not compute; this only picks what is current.
 */

import type { AnyEvent, Canal, Kit, Slice, Stay, Timer, VisitRecord } from "../../../core/types";
import type { Running } from "../../canal/level";
import { contentsKey } from "../../canal/marks";
import type { BandNow, CanalNow } from "./column_model";

const DEEPEST_UM = 100_000;

/** Every canal of the record as it stands at `nowMs`; `left` counts the plan's steps still open. */
export function canalsNow(
  record: VisitRecord,
  kit: Kit | null,
  left: ReadonlyMap<string, number>,
  nowMs: number,
): readonly CanalNow[] {
  return record.canals.map((canal) =>
    canalNow(record, kit, canal, left.get(canal.canal) ?? null, nowMs),
  );
}

function canalNow(
  record: VisitRecord,
  kit: Kit | null,
  canal: Canal,
  stepsLeft: number | null,
  nowMs: number,
): CanalNow {
  const slices = record.slices.filter((slice) => slice.site === canal.canal);
  const open = slices.flatMap((slice) => {
    const stay = openStay(slice, nowMs);
    return stay === null ? [] : [{ slice, stay }];
  });
  const last = record.deliveries.findLast(
    (delivery) => delivery.site === canal.canal && delivery.end_ms <= nowMs,
  );
  const bands = bandsOf(open, canal);
  return {
    canal: canal.canal,
    name: canal.name,
    state: canal.state,
    orificeUm: canal.orifice_um,
    workingLengthUm: canal.working_length_um,
    apicalSize: canal.apical_size,
    taperUmPerMm: canal.taper_um_per_mm,
    knownToUm: Math.max(canal.instruments_um ?? 0, last?.tip_um ?? 0),
    bands,
    reachedToUm: reachedTo(open, canal),
    tipUm: bands.length > 0 ? (last?.tip_um ?? null) : null,
    running: runningOf(record, kit, canal.canal, open, nowMs),
    activation: activationOf(record, canal.canal),
    dried: driedLast(record.standing, canal.canal),
    joins:
      canal.joins === null
        ? null
        : { canal: canal.joins.canal, shortOfWlUm: canal.joins.short_of_wl_um },
    stepsLeft,
  };
}

interface OpenStay {
  readonly slice: Slice;
  readonly stay: Stay;
}

function openStay(slice: Slice, nowMs: number): Stay | null {
  const stay = slice.stays.findLast((one) => one.start_ms <= nowMs);
  if (stay === undefined) return null;
  return stay.end_ms === null || stay.end_ms > nowMs ? stay : null;
}

/** Open stays from the orifice down, equal neighbours joined. */
function bandsOf(open: readonly OpenStay[], canal: Canal): readonly BandNow[] {
  const bottom = canal.working_length_um ?? DEEPEST_UM;
  const bands: BandNow[] = [];
  for (const { slice, stay } of [...open].sort((a, b) => a.slice.from_um - b.slice.from_um)) {
    const toUm = Math.min(slice.to_um ?? bottom, bottom);
    const before = bands[bands.length - 1];
    if (
      before?.toUm === slice.from_um &&
      contentsKey(before.contents) === contentsKey(stay.contents)
    ) {
      bands[bands.length - 1] = { ...before, toUm };
    } else if (toUm > slice.from_um) {
      bands.push({ fromUm: slice.from_um, toUm, contents: stay.contents });
    }
  }
  return bands;
}

/** Deepest end of what the latest delivery renewed: its fresh span ends last. */
function reachedTo(open: readonly OpenStay[], canal: Canal): number | null {
  const ends = open.map(({ slice, stay }) => ({
    toUm: slice.to_um ?? canal.working_length_um ?? DEEPEST_UM,
    freshTo: Math.max(-1, ...stay.fresh.map((span) => span[1])),
  }));
  const latest = Math.max(-1, ...ends.map((end) => end.freshTo));
  if (latest < 0) return null;
  return Math.max(...ends.filter((end) => end.freshTo === latest).map((end) => end.toUm));
}

/**
 * What runs in the canal: from the event that a timer runs from, or else from the beginning of the
 * contact at the orifice. An activation does not end a contact that was asked for.
 */
function runningOf(
  record: VisitRecord,
  kit: Kit | null,
  canal: string,
  open: readonly OpenStay[],
  nowMs: number,
): Running | null {
  const top = [...open].sort((a, b) => a.slice.from_um - b.slice.from_um)[0];
  if (top === undefined) return null;
  const asked = record.timers.findLast(
    (timer) =>
      timer.canal === canal &&
      !timer.upper_limit &&
      stillAsked(timer, record.standing) &&
      standing(record.standing, timer.runs_from)?.kind === "irrigant_delivered",
  );
  const begun = asked && standing(record.standing, asked.runs_from);
  return {
    fromMs: begun ? begun.occurred_at_ms : Math.min(top.stay.start_ms, nowMs),
    dueAtMs: asked?.due_at_ms ?? null,
    limitAtMs: limitAt(record, kit, canal, open),
  };
}

/** A timer that a later activation acknowledged still says how long the contact was asked for. */
function stillAsked(timer: Timer, events: readonly AnyEvent[]): boolean {
  if (timer.state === "running") return true;
  if (timer.state !== "acknowledged" || timer.by === null) return false;
  const by = standing(events, timer.by);
  if (by?.kind !== "activation_started" && by?.kind !== "activation_stopped") return false;
  const after = events.slice(events.indexOf(by) + 1);
  return !after.some(
    (event) =>
      (event.kind === "irrigant_delivered" ||
        event.kind === "irrigant_removed" ||
        event.kind === "dressing_placed" ||
        event.kind === "canal_filled") &&
      event.site === timer.canal,
  );
}

/** The clinic's earliest upper limit on what is in the canal now. */
function limitAt(
  record: VisitRecord,
  kit: Kit | null,
  canal: string,
  open: readonly OpenStay[],
): number | null {
  const limits = kit?.protocol?.limits ?? [];
  const byContact = open.flatMap(({ stay }) =>
    limits
      .filter((limit) => stay.contents.some((part) => part.irrigant === limit.irrigant))
      .map((limit) => stay.start_ms + limit.longest_run_ms),
  );
  const byTimer = record.timers
    .filter((timer) => timer.canal === canal && timer.upper_limit && timer.state === "running")
    .map((timer) => timer.due_at_ms as number);
  const all = [...byContact, ...byTimer];
  return all.length === 0 ? null : Math.min(...all);
}

/** The latest activation of a canal, if nothing has stopped it. */
function activationOf(record: VisitRecord, canal: string): CanalNow["activation"] {
  const latest = record.activations.findLast((one) => one.canal === canal);
  if (latest === undefined || latest.stopped !== null || record.closed_at_ms !== null) return null;
  const timer = record.timers.find((one) => one.runs_from === latest.started);
  return {
    fromMs: latest.start_ms,
    forMs: timer === undefined ? null : timer.due_at_ms - latest.start_ms,
  };
}

function driedLast(events: readonly AnyEvent[], canal: string): boolean {
  const last = events.findLast(
    (event) =>
      (event.kind === "irrigant_removed" || event.kind === "irrigant_delivered") &&
      event.site === canal,
  );
  return last?.kind === "irrigant_removed" && last.by === "points";
}

function standing(events: readonly AnyEvent[], id: string): AnyEvent | undefined {
  return events.find((event) => event.id === id);
}
