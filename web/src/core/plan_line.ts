/** One line of a plan: the steps of a canal or of the chamber, followed act by act. */

import type { Status } from "./plan_values.ts";
import type { Protocol, Stage, Step } from "./types.ts";

/** A step of a stage of the line in one round; all three count from 0. */
export interface Slot {
  readonly stage: number;
  readonly round: number;
  readonly step: number;
}

/** A person's word on a step or stage, and the event that carries it. */
export interface Mark {
  readonly status: "done" | "skipped";
  readonly event: string;
}

/** A stage with the steps that are for one line, and where both stand in the protocol. */
export interface LineStage {
  readonly index: number;
  readonly stage: Stage;
  readonly steps: readonly { readonly index: number; readonly step: Step }[];
}

const BEFORE_ALL: Slot = { stage: -1, round: 0, step: -1 };

/** The place of one site in the protocol. */
export class Line {
  readonly stages: readonly LineStage[];
  readonly outside: string[] = [];
  /** By step and round. */
  readonly #marks = new Map<string, Mark>();
  /** By stage: those that a person ended. */
  readonly #endings = new Map<string, Mark>();
  /** Stages of the protocol before this one are gone by. */
  readonly #goneBy: number;
  readonly #taken = new Map<string, { readonly slot: Slot; readonly event: string }>();
  #place = BEFORE_ALL;

  constructor(protocol: Protocol, visit: number, site: Step["site"], goneBy = 0) {
    this.stages = stagesFor(protocol, visit, site);
    this.#goneBy = goneBy;
  }

  /** Where in the protocol the place's stage stands; -1 before everything. */
  get reached(): number {
    return this.stages[this.#place.stage]?.index ?? -1;
  }

  /** Give an act to the first slot it fits; false if there is none. */
  take(event: string, fits: (step: Step) => boolean): boolean {
    for (const slot of this.#candidates()) {
      if (!fits(this.step(slot))) continue;
      this.#taken.set(slotKey(slot), { slot, event });
      this.#place = slot;
      return true;
    }
    return false;
  }

  /** Take a person's word on a stage, which ends, or on a step in one cycle. */
  mark(name: string, cycle: number, mark: Mark): void {
    if (this.stages.some(({ stage }) => stage.stage === name)) this.#endings.set(name, mark);
    else this.#marks.set(markKey(name, cycle), mark);
  }

  step(slot: Slot): Step {
    const found = this.stages[slot.stage]?.steps[slot.step];
    if (found === undefined) throw new RangeError(`no step at ${slotKey(slot)}`);
    return found.step;
  }

  /** All slots of the rounds that are listed. */
  slots(): Slot[] {
    return this.stages.flatMap((one, stage) =>
      counted(this.#rounds(stage)).flatMap((round) =>
        one.steps.map((_, step) => ({ stage, round, step })),
      ),
    );
  }

  /** What became of a slot, and the event that says so. */
  status(slot: Slot): { readonly status: Status; readonly event: string | null } {
    const taken = this.#taken.get(slotKey(slot));
    if (taken !== undefined) return { status: "done", event: taken.event };
    const mark = this.#mark(slot);
    if (mark !== undefined) return mark;
    const ended = this.#ended(slot.stage);
    if (ended !== undefined) {
      return { status: ended.status === "skipped" ? "skipped" : "passed", event: ended.event };
    }
    const isBehind = compare(slot, this.#place) < 0 || this.#isGoneBy(slot.stage);
    return { status: isBehind ? "passed" : "open", event: null };
  }

  /** The slot that comes next, and what may come instead of another round. */
  next(): { readonly next: Slot | null; readonly orNext: Slot | null } {
    const { stage, round } = this.#place;
    const ahead = this.#ahead();
    const here = ahead.find((slot) => slot.stage === stage);
    if (here !== undefined) return { next: here, orNext: null };
    const later = ahead.find((slot) => slot.stage > stage) ?? null;
    const [again] = this.#mayRepeat(stage) ? this.#unmarked(stage, round + 1) : [];
    return again === undefined ? { next: later, orNext: null } : { next: again, orNext: later };
  }

  /** Steps of the open slots, as many times as they are open. */
  openSteps(): Step[] {
    return this.#ahead().map((slot) => this.step(slot));
  }

  /** Whether a further round may still come, at the place or after it. */
  mayGrow(): boolean {
    return this.stages.some((_, stage) => stage >= this.#place.stage && this.#mayRepeat(stage));
  }

  /** Slots that the next act may take, in order. */
  *#candidates(): Generator<Slot> {
    const { stage, round, step } = this.#place;
    const here = this.stages[stage]?.stage;
    if (here !== undefined && this.#ended(stage) === undefined) {
      yield* this.#unmarked(stage, round, step + 1);
      if (here.repeats === "per_instrument") yield* this.#entries(stage, round + 1);
      if (here.repeats === "cycles") {
        for (let later = round + 1; later < here.cycles; later += 1) {
          yield* this.#unmarked(stage, later);
        }
      }
    }
    for (let later = stage + 1; later < this.stages.length; later += 1) {
      if (this.#ended(later) === undefined) yield* this.#entries(later, 0);
      if (!this.#isLight(later)) return;
    }
  }

  /** Slots by which a round may begin: up to its first real act, and every instrument. */
  #entries(stage: number, round: number): Slot[] {
    const slots = this.#unmarked(stage, round);
    const firstAct = slots.findIndex((slot) => !isQuiet(this.step(slot)));
    const last = firstAct < 0 ? slots.length - 1 : firstAct;
    const perInstrument = this.stages[stage]?.stage.repeats === "per_instrument";
    return slots.filter(
      (slot, at) => at <= last || (perInstrument && this.step(slot).act === "instrument"),
    );
  }

  #unmarked(stage: number, round: number, from = 0): Slot[] {
    const steps = this.stages[stage]?.steps ?? [];
    return steps
      .map((_, step) => ({ stage, round, step }))
      .filter((slot) => slot.step >= from && this.#mark(slot) === undefined);
  }

  /** Whether acts may belong to a later stage although nothing was done in this one. */
  #isLight(stage: number): boolean {
    if (this.#ended(stage) !== undefined || this.#isGoneBy(stage)) return true;
    return this.#unmarked(stage, 0).every((slot) => isQuiet(this.step(slot)));
  }

  #isGoneBy(stage: number): boolean {
    return (this.stages[stage]?.index ?? 0) < this.#goneBy;
  }

  #ended(stage: number): Mark | undefined {
    return this.#endings.get(this.stages[stage]?.stage.stage ?? "");
  }

  #mark(slot: Slot): Mark | undefined {
    return this.#marks.get(markKey(this.step(slot).step, slot.round + 1));
  }

  #rounds(stage: number): number {
    const repeated = this.stages[stage]?.stage;
    if (repeated?.repeats === "cycles") return repeated.cycles;
    const taken = [...this.#taken.values()].filter(({ slot }) => slot.stage === stage);
    return 1 + Math.max(0, ...taken.map(({ slot }) => slot.round));
  }

  #mayRepeat(stage: number): boolean {
    const isPerInstrument = this.stages[stage]?.stage.repeats === "per_instrument";
    return isPerInstrument && this.#ended(stage) === undefined && !this.#isGoneBy(stage);
  }

  /** Open slots that are listed, after the place. */
  #ahead(): Slot[] {
    return this.slots().filter(
      (slot) => compare(slot, this.#place) > 0 && this.status(slot).status === "open",
    );
  }
}

function stagesFor(protocol: Protocol, visit: number, site: Step["site"]): LineStage[] {
  return protocol.stages
    .map((stage, index) => ({
      index,
      stage,
      steps: stage.steps
        .map((step, place) => ({ index: place, step }))
        .filter(({ step }) => step.site === site),
    }))
    .filter(({ stage, steps }) => stage.visit === visit && steps.length > 0);
}

/** Nobody can tell from the acts that these were skipped. */
function isQuiet(step: Step): boolean {
  return step.act === "check" || step.act === "wait";
}

function compare(a: Slot, b: Slot): number {
  return a.stage - b.stage || a.round - b.round || a.step - b.step;
}

function markKey(step: string, cycle: number): string {
  return `${step} ${cycle}`;
}

function slotKey({ stage, round, step }: Slot): string {
  return `${stage} ${round} ${step}`;
}

function counted(count: number): number[] {
  return Array.from({ length: count }, (_, at) => at);
}
