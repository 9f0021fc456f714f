/** Builders of records and their parts for the tests of screens; times in ms, depths in µm. */

import type {
  AnyEvent,
  Canal,
  Delivered,
  Mix,
  Slice,
  Stay,
  VisitRecord,
} from "../../src/core/types";

/** A value as the wire would carry it: the units of `T` are taken on trust, in tests only. */
export const wire = <T>(value: unknown): T => value as T;

export const N3: Mix = wire([{ irrigant: "sodium_hypochlorite", concentration_mg_per_l: 30_000 }]);
export const E17: Mix = wire([{ irrigant: "edta", concentration_mg_per_l: 170_000 }]);
export const SALINE: Mix = wire([{ irrigant: "saline", concentration_mg_per_l: null }]);

let seq = 0;

export function anEvent(kind: AnyEvent["kind"], payload: object): AnyEvent {
  seq += 1;
  return wire({
    kind,
    id: `event-${seq}`,
    visit: "visit-1",
    device: "device-1",
    device_seq: seq,
    staff: "assistant-1",
    occurred_at_ms: 0,
    device_clock_ms: 0,
    clock_error_ms: 0,
    dated_by_hand: false,
    ...payload,
  });
}

export function aCanalOf(change: Partial<Record<keyof Canal, unknown>> = {}): Canal {
  return wire({
    canal: "mb1",
    name: null,
    state: "length_set",
    orifice_um: 9000,
    working_length_um: 20_000,
    apical_size: 30,
    taper_um_per_mm: 60,
    reference_point: null,
    joins: null,
    instruments_um: 20_000,
    ...change,
  });
}

export function aStay(
  contents: Mix,
  start: number,
  end: number | null,
  freshTo: number | null = null,
): Stay {
  return wire({
    contents,
    start_ms: start,
    end_ms: end,
    fresh: freshTo === null ? [] : [[start, freshTo]],
    dressing: false,
  });
}

export function aSlice(
  site: string,
  from: number,
  to: number | null,
  stays: readonly Stay[],
  sharedWith: string | null = null,
): Slice {
  return wire({ site, from_um: from, to_um: to, stays, active: [], shared_with: sharedWith });
}

export function aDelivery(change: Partial<Record<keyof Delivered, unknown>> = {}): Delivered {
  seq += 1;
  return wire({
    id: `delivery-${seq}`,
    site: "mb1",
    contents: N3,
    start_ms: 0,
    end_ms: 10_000,
    volume_ul: 1000,
    recorded_ul: 1000,
    how: "timed",
    tip_um: 19_000,
    syringe: "s-1",
    on_file: false,
    after_close: false,
    ...change,
  });
}

export function aRecord(change: Partial<Record<keyof VisitRecord, unknown>> = {}): VisitRecord {
  return wire({
    opened: null,
    canals: [],
    standing: [],
    unread: [],
    versions: [],
    closed_at_ms: null,
    last_clinical_ms: null,
    slices: [],
    carried: [],
    chamber: null,
    activations: [],
    deliveries: [],
    residues: [],
    uncertain: [],
    dressings: [],
    timers: [],
    findings: [],
    ...change,
  });
}
