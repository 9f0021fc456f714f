/**
 * The acts of a visit in the order in which they took effect, put into each canal's column.
 *
 * A delivery that ended late may have begun before an act with a smaller key, so what the survey
 * found (survey.ts) is sorted here by effective instant.
 */

import type { Range } from "./depth.ts";
import { finding } from "./findings.ts";
import { byKey, type Keyed } from "./keys.ts";
import { ms, um } from "./quantities.ts";
import type { Tooth } from "./tooth.ts";
import type { Activated, Activation, Finding, Mix } from "./types.ts";

/** Something that takes effect at an instant; the key breaks ties. */
export type Op = { readonly atMs: number; readonly event: Keyed } & (
  | {
      readonly does: "fill";
      readonly canal: string;
      readonly range: Range;
      readonly contents: Mix;
      readonly freshUntilMs: number | null;
      readonly fromChamber: boolean;
      readonly dressing: boolean;
    }
  | { readonly does: "empty"; readonly canal: string; readonly range: Range }
  | { readonly does: "chamber"; readonly contents: Mix | null }
  | {
      readonly does: "start";
      readonly canal: string;
      readonly activation: Activation;
      readonly range: Range;
      readonly drawsChamber: boolean;
    }
  | { readonly does: "stop"; readonly canal: string }
  | { readonly does: "carry"; readonly canal: string; readonly range: Range }
);

type Of<Does extends Op["does"]> = Extract<Op, { readonly does: Does }>;

interface Span {
  readonly start: Of<"start">;
  readonly stop: Of<"stop"> | null;
}

export interface Swept {
  /** What the chamber holds at the end. */
  readonly chamber: Mix | null;
  readonly activations: readonly Activated[];
  readonly findings: readonly Finding[];
}

/** Put every act into the columns of a tooth, which are empty before. */
export function sweep(ops: readonly Op[], tooth: Tooth): Swept {
  const swept = new Sweep(tooth);
  const ordered = [...ops].sort((a, b) => a.atMs - b.atMs || byKey(a.event, b.event));
  for (const op of ordered) swept.take(op);
  return swept.outcome();
}

class Sweep {
  readonly #tooth: Tooth;
  readonly #spans: Span[] = [];
  readonly #alone: Finding[] = [];
  #chamber: Mix | null = null;

  constructor(tooth: Tooth) {
    this.#tooth = tooth;
  }

  take(op: Op): void {
    switch (op.does) {
      case "fill":
        this.#fill(op);
        break;
      case "empty":
        this.#tooth.end(op.canal, op.range, op.atMs);
        break;
      case "chamber":
        this.#chamber = op.contents;
        break;
      case "start":
        this.#start(op);
        break;
      case "stop":
        this.#stop(op);
        break;
      case "carry":
        this.#tooth.carry(op.canal, op.range, op.atMs);
        break;
    }
  }

  outcome(): Swept {
    const never = this.#spans
      .filter((span) => span.stop === null)
      .map(({ start }) =>
        finding("activation_never_stopped", "notice", {
          sites: [start.canal],
          events: [start.event.id],
        }),
      );
    return {
      chamber: this.#chamber,
      activations: this.#spans.map(asActivated),
      findings: [...this.#alone, ...never],
    };
  }

  #fill(op: Of<"fill">): void {
    const drawing = op.fromChamber ? this.#drawing(op.canal) : undefined;
    const bottomUm = Math.max(op.range.bottomUm, drawing?.range.bottomUm ?? 0);
    this.#tooth.begin(op.canal, { ...op.range, bottomUm }, op.contents, op.atMs, {
      freshUntilMs: op.freshUntilMs,
      dressing: op.dressing,
    });
  }

  #start(op: Of<"start">): void {
    const contents = op.drawsChamber ? this.#chamber : this.#tooth.at(op.canal, op.range.topUm);
    if (contents !== null) this.#tooth.begin(op.canal, op.range, contents, op.atMs);
    this.#spans.push({ start: op, stop: null });
  }

  #stop(op: Of<"stop">): void {
    const at = this.#spans.findLastIndex((span) => isOpenIn(span, op.canal));
    const span = this.#spans[at];
    if (span !== undefined) {
      this.#spans[at] = { ...span, stop: op };
      this.#tooth.activate(op.canal, span.start.range, [span.start.atMs, op.atMs]);
      return;
    }
    const said = { sites: [op.canal], events: [op.event.id] };
    this.#alone.push(finding("activation_stop_alone", "info", said));
  }

  /** The open start that draws the chamber's contents into a canal. */
  #drawing(canal: string): Of<"start"> | undefined {
    return this.#spans.findLast((span) => isOpenIn(span, canal) && span.start.drawsChamber)?.start;
  }
}

function isOpenIn(span: Span, canal: string): boolean {
  return span.stop === null && span.start.canal === canal;
}

function asActivated({ start, stop }: Span): Activated {
  return {
    canal: start.canal,
    activation: start.activation,
    from_um: um(start.range.topUm),
    to_um: um(start.range.bottomUm),
    start_ms: ms(start.atMs),
    end_ms: stop === null ? null : ms(stop.atMs),
    started: start.event.id,
    stopped: stop?.event.id ?? null,
  };
}
