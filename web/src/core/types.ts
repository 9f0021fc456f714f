/**
 * What a record, its totals and the guard's words are made of. Fields are spelled as in the server's
 * core, so that one word can be searched for in both. Values only; nothing here computes.
 */

import type {
  ActivationStarted,
  AnyEvent,
  CanalSet,
  Component,
  GuardSpoke,
  IrrigantDelivered,
  Join,
  Kit,
  Microlitres,
  Micrometres,
  MilligramsPerLitre,
  Milliseconds,
  Pair,
  TimerSet,
  Unread,
  VisitOpened,
} from "../wire/types.ts";

export type * from "../wire/types.ts";
export type * from "./plan_values.ts";

export type Event = AnyEvent;
/** Anything that a line can be read as. */
export type Heard = AnyEvent | Unread;
export type EventKind = AnyEvent["kind"];

export type Severity = "info" | "notice" | "serious";
export type CanalState = NonNullable<CanalSet["state"]>;
export type How = IrrigantDelivered["how"];
export type DeliveredBy = NonNullable<IrrigantDelivered["by"]>;
export type Activation = ActivationStarted["activation"];
export type Level = GuardSpoke["level"];
export type Basis = Pair["basis"];
export type PairLevel = Pair["level"];

/** Contents in their one order: by irrigant, then strength. */
export type Mix = readonly Component[];

/** Start and end of a span of time. [ms] */
export type Interval = readonly [start: number, end: number];

/** What the fold saw, and the ids of the events it rests on. */
export interface Finding {
  readonly rule: string;
  readonly severity: Severity;
  readonly sites: readonly string[];
  readonly events: readonly string[];
  readonly ms: Milliseconds | null;
  readonly about: string;
}

/** A canal as last known; nulls are unknown. */
export interface Canal {
  readonly canal: string;
  readonly name: string | null;
  readonly state: CanalState | null;
  readonly orifice_um: Micrometres | null;
  readonly working_length_um: Micrometres | null;
  readonly apical_size: number | null;
  readonly taper_um_per_mm: number | null;
  readonly reference_point: string | null;
  readonly joins: Join | null;
  /** Greatest length an instrument reached. */
  readonly instruments_um: Micrometres | null;
}

/** One contents at one stretch of depth, from a start to an end (null = not recorded). */
export interface Stay {
  readonly contents: Mix;
  readonly start_ms: Milliseconds;
  readonly end_ms: Milliseconds | null;
  readonly fresh: readonly Interval[];
  readonly dressing: boolean;
}

/** A stretch of depth of one canal and what stayed there, in order of time. */
export interface Slice {
  readonly site: string;
  readonly from_um: Micrometres;
  /** Null: all that lies deeper. */
  readonly to_um: Micrometres | null;
  readonly stays: readonly Stay[];
  /** Spans in which an activation worked here. */
  readonly active: readonly Interval[];
  /** The canal that this stretch is counted in, beyond a junction. */
  readonly shared_with: string | null;
}

/** A span of activation with the depths it works on; end null = never stopped. */
export interface Activated {
  readonly canal: string;
  readonly activation: Activation;
  readonly from_um: Micrometres;
  readonly to_um: Micrometres;
  readonly start_ms: Milliseconds;
  readonly end_ms: Milliseconds | null;
  readonly started: string;
  readonly stopped: string | null;
}

/** A delivery with its contents resolved and its amount as the readings leave it. */
export interface Delivered {
  readonly id: string;
  readonly site: string;
  readonly contents: Mix;
  readonly start_ms: Milliseconds;
  readonly end_ms: Milliseconds;
  readonly volume_ul: Microlitres | null;
  readonly recorded_ul: Microlitres | null;
  readonly how: How;
  readonly tip_um: Micrometres | null;
  readonly syringe: string | null;
  readonly on_file: boolean;
  readonly after_close: boolean;
}

/** An act that could clear a residue: a rinse (contents and volume) or a removal. */
export interface Clearing {
  readonly event: string;
  readonly contents: Mix | null;
  readonly volume_ul: Microlitres | null;
  readonly rinses: boolean;
  readonly removes: boolean;
}

/** One component at one site since it was last put there, and what came after it. */
export interface Residue {
  readonly site: string;
  readonly irrigant: string;
  /** Id of the event that put it there. */
  readonly soil: string;
  readonly at_ms: Milliseconds;
  /** Site of the act that put it there; at the chamber it may be a canal. */
  readonly origin: string;
  readonly dressing: boolean;
  /** On a file, or a file has worked since in the canal it is in or came from. */
  readonly carried: boolean;
  readonly clearing: readonly Clearing[];
}

/** A dressing, and when it went. */
export interface LeftDressing {
  readonly site: string;
  readonly contents: Mix;
  readonly since_ms: Milliseconds | null;
  readonly until_ms: Milliseconds | null;
}

/** A time to be told of. */
export interface Timer {
  readonly id: string;
  readonly canal: string;
  readonly step: string;
  readonly cycle: number;
  readonly runs_from: TimerSet["runs_from"];
  readonly due_at_ms: Milliseconds;
  readonly upper_limit: boolean;
  readonly state: "running" | "acknowledged" | "ended" | "replaced";
  /** The event that acknowledged, ended or replaced it. */
  readonly by: string | null;
}

/** An amended event: all its versions and the one that stands. */
export interface Versions {
  readonly entry: string;
  readonly stands: string;
  readonly voided: boolean;
  readonly versions: readonly string[];
}

/** What a visit's events amount to. */
export interface VisitRecord {
  readonly opened: VisitOpened | null;
  readonly canals: readonly Canal[];
  /** The events that stand, amended, in the order of their keys. */
  readonly standing: readonly AnyEvent[];
  readonly unread: readonly Unread[];
  readonly versions: readonly Versions[];
  readonly closed_at_ms: Milliseconds | null;
  readonly last_clinical_ms: Milliseconds | null;
  readonly slices: readonly Slice[];
  /** The same with what files took deeper: a second account, never merged. */
  readonly carried: readonly Slice[];
  /** What the chamber holds at the end. */
  readonly chamber: Mix | null;
  readonly activations: readonly Activated[];
  readonly deliveries: readonly Delivered[];
  readonly residues: readonly Residue[];
  readonly uncertain: readonly (readonly [string, string])[];
  readonly dressings: readonly LeftDressing[];
  readonly timers: readonly Timer[];
  readonly findings: readonly Finding[];
}

/** Times of one irrigant and strength at one stretch of depth. */
export interface DepthRow {
  readonly site: string;
  readonly from_um: Micrometres;
  readonly to_um: Micrometres | null;
  readonly irrigant: string;
  readonly concentration_mg_per_l: MilligramsPerLitre | null;
  readonly contact_ms: Milliseconds;
  readonly fresh_ms: Milliseconds;
  readonly activated_ms: Milliseconds;
}

/** Contact at a depth if files took contents down with them: expected, never merged. */
export interface CarriedRow {
  readonly site: string;
  readonly from_um: Micrometres;
  readonly to_um: Micrometres | null;
  readonly irrigant: string;
  readonly concentration_mg_per_l: MilligramsPerLitre | null;
  readonly carried_ms: Milliseconds;
}

/** Times of one irrigant in one canal, strengths together. */
export interface Headline {
  readonly site: string;
  readonly irrigant: string;
  readonly anywhere_ms: Milliseconds;
  readonly orifice_ms: Milliseconds;
  readonly last_3mm_least_ms: Milliseconds | null;
  readonly last_3mm_mean_ms: Milliseconds | null;
  readonly longest_run_ms: Milliseconds;
  readonly fresh_ms: Milliseconds;
  readonly activated_ms: Milliseconds;
}

/** Volume of one irrigant and strength at one site; in `tooth` the site is "tooth". */
export interface VolumeRow {
  readonly site: string;
  readonly irrigant: string;
  readonly concentration_mg_per_l: MilligramsPerLitre | null;
  readonly volume_ul: Microlitres;
  readonly at_least: boolean;
  readonly about: boolean;
  /** Null while a strength is unknown. */
  readonly passed_ng: number | null;
}

export interface Totals {
  readonly as_of_ms: Milliseconds;
  readonly depths: readonly DepthRow[];
  readonly carried: readonly CarriedRow[];
  readonly headlines: readonly Headline[];
  readonly volumes: readonly VolumeRow[];
  readonly tooth: readonly VolumeRow[];
  /** Whole per cent, rounded down; null without volume. */
  readonly measured_share_pct: number | null;
  readonly dressings: readonly LeftDressing[];
}

/** A syringe in the hand, or a delivery about to be made. */
export interface ProposedAct {
  readonly contents: Mix;
  /** Null while the syringe is picked and may go anywhere. */
  readonly site: string | null;
  readonly syringe: string | null;
  readonly by: DeliveredBy | null;
  readonly tip_um: Micrometres | null;
  readonly at_ms: Milliseconds;
}

/** One thing said before an act: its level, what it is about and the sites it names. */
export interface Warning {
  readonly rule: string;
  readonly level: Level;
  readonly about: string;
  readonly sites: readonly string[];
  /** For pairs: what the level rests on; `reasoned` says "no published data". */
  readonly basis: Basis | null;
}

/** The signatures that the screens build against. */
export type Fold = (kit: Kit | null, events: readonly Heard[]) => VisitRecord;
export type TotalsAt = (record: VisitRecord, asOfMs: Milliseconds) => Totals;
export type Guard = (kit: Kit | null, record: VisitRecord, act: ProposedAct) => readonly Warning[];
export type DueTimers = (record: VisitRecord) => readonly Timer[];
