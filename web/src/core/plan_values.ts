/** What a plan is made of; fields are spelled as in the server's core. */

import type { Microlitres, Micrometres, Milliseconds, Solution, Step } from "../wire/types.ts";

/** What became of a slot. */
export type Status = "open" | "done" | "passed" | "skipped";

/** A slot by its names; rounds count from 1. */
export interface At {
  readonly stage: string;
  readonly step: string;
  readonly cycle: number;
}

/** One slot: a step of a stage in one round, what it asks, and what became of it. */
export interface Planned extends At {
  readonly status: Status;
  /** The act or word that made it done, skipped or passed. */
  readonly event: string | null;
  readonly asked: Step;
  /** Where the needle's or activation's tip is asked to be, once the working length is known. */
  readonly tip_um: Micrometres | null;
}

/** What open steps still ask for. */
export interface Left {
  /** By solution. */
  readonly volumes: { readonly [solution: string]: Microlitres };
  readonly activations: number;
  readonly activation_ms: Milliseconds;
  /** Another instrument may still come. */
  readonly at_least: boolean;
}

/** The plan of one canal or of the chamber. */
export interface PlanLine {
  readonly site: string;
  readonly steps: readonly Planned[];
  readonly next: At | null;
  /** What comes instead of another round, if `next` begins one. */
  readonly or_next: At | null;
  readonly left: Left;
  /** Acts that fit no step. */
  readonly outside: readonly string[];
}

/** The next step of the tooth. */
export interface Next extends At {
  readonly site: string;
}

/** What to draw into syringes before the start. */
export interface DrawUp {
  readonly solution: Solution;
  readonly volume_ul: Microlitres;
  readonly syringes: number;
}

/** A protocol bound to a record. */
export interface Plan {
  readonly protocol: string | null;
  readonly version: number | null;
  readonly visit: number;
  readonly lines: readonly PlanLine[];
  readonly next: Next | null;
  readonly draw_up: readonly DrawUp[];
}
