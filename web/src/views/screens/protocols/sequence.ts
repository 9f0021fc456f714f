/**
 * A protocol as one tooth goes through it: every act in order, what chamber and canal hold after it, and the
 * reacting neighbours where they follow each other. For drawing; the guard and the fold decide at the chair.
 */

import type {
  Catalogue,
  Component,
  Pair,
  PairLevel,
  Protocol,
  Stage,
  Step,
} from "../../../core/types.ts";

type Contents = readonly Component[];

export interface Neighbours {
  readonly first: string;
  readonly second: string;
  /** The pair's level in this stage: while files work between them it may be another. */
  readonly level: PairLevel;
}

export interface ActRow {
  readonly step: Step;
  readonly contents: Contents | null;
  readonly chamberAfter: Contents | null;
  readonly canalAfter: Contents | null;
  readonly meets: readonly Neighbours[];
}

export interface StageRows {
  readonly stage: Stage;
  /** What chamber and canal hold as the stage begins. */
  readonly before: { readonly chamber: Contents | null; readonly canal: Contents | null };
  readonly rows: readonly ActRow[];
}

interface State {
  chamber: Contents | null;
  canal: Contents | null;
  /** What was last in the canal, dried or not. */
  last: Contents | null;
}

export function sequenceOf(protocol: Protocol, catalogue: Catalogue): readonly StageRows[] {
  const state: State = { chamber: null, canal: null, last: null };
  return protocol.stages.map((stage) => {
    const again = stage.repeats === "once" ? null : lastOf(stage, protocol);
    const before = { chamber: state.chamber, canal: state.canal };
    const asks = neighboursIn(stage, catalogue);
    const rows = stage.steps.map((step) => rowOf(step, protocol, asks, state));
    return { stage, before, rows: again === null ? rows : withWrapAround(rows, again, asks) };
  });
}

/** Pairs among a protocol's own irrigants that ask for anything, in the catalogue's order. */
export function pairsThatMatter(protocol: Protocol, catalogue: Catalogue): readonly Pair[] {
  const used = new Set(
    protocol.solutions.flatMap(({ contents }) =>
      contents.map((one) => reactsAs(one.irrigant, catalogue)),
    ),
  );
  return catalogue.pairs.filter(
    (pair) => pair.level !== "ok" && used.has(pair.first) && used.has(pair.second),
  );
}

type Asks = (before: Contents | null, after: Contents) => readonly Neighbours[];

function rowOf(step: Step, protocol: Protocol, asks: Asks, state: State): ActRow {
  const contents = contentsOf(step, protocol);
  const meets = contents === null ? [] : asks(state.last, contents);
  apply(step, contents, state);
  return { step, contents, chamberAfter: state.chamber, canalAfter: state.canal, meets };
}

function apply(step: Step, contents: Contents | null, state: State): void {
  const inCanal = step.site === "canal";
  if (contents !== null) {
    state.chamber = contents;
    if (inCanal) {
      state.canal = contents;
      state.last = contents;
    }
  } else if (step.act === "remove" && inCanal) state.canal = null;
  else if (step.act === "remove") state.chamber = null;
  else if (step.act === "fill") state.canal = null;
}

function contentsOf(step: Step, protocol: Protocol): Contents | null {
  if (step.act === "dress" && step.material !== null) {
    return [{ irrigant: step.material, concentration_mg_per_l: null }];
  }
  if (step.act !== "irrigate" || step.solution === null) return null;
  return protocol.solutions.find((one) => one.solution === step.solution)?.contents ?? null;
}

/** What a repeated stage leaves behind for its own first act. */
function lastOf(stage: Stage, protocol: Protocol): Contents | null {
  const left = stage.steps
    .filter((step) => step.site === "canal")
    .map((step) => contentsOf(step, protocol));
  return left.findLast((contents) => contents !== null) ?? null;
}

function withWrapAround(rows: readonly ActRow[], last: Contents, asks: Asks): readonly ActRow[] {
  const first = rows.findIndex((row) => row.contents !== null);
  return rows.map((row, at) => {
    if (at !== first || row.contents === null) return row;
    const known = new Set(row.meets.map((one) => `${one.first} ${one.second}`));
    const more = asks(last, row.contents).filter((one) => !known.has(`${one.first} ${one.second}`));
    return { ...row, meets: [...row.meets, ...more] };
  });
}

/** How two contents that follow each other in a stage react; pairs that ask for nothing are left out. */
function neighboursIn(stage: Stage, catalogue: Catalogue): Asks {
  const filed = stage.kind === "secure" || stage.kind === "shape";
  return (before, after) =>
    (before ?? []).flatMap((first) =>
      after.flatMap((second) => {
        const [one, other] = [
          reactsAs(first.irrigant, catalogue),
          reactsAs(second.irrigant, catalogue),
        ];
        const pair = catalogue.pairs.find((each) => each.first === one && each.second === other);
        const level = (filed ? pair?.shaping_level : null) ?? pair?.level ?? "ok";
        if (one === other || level === "ok") return [];
        return [{ first: first.irrigant, second: second.irrigant, level }];
      }),
    );
}

function reactsAs(irrigant: string, catalogue: Catalogue): string {
  return catalogue.irrigants.find((one) => one.irrigant === irrigant)?.reacts_as ?? irrigant;
}
