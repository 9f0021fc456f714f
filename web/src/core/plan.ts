/**
 * The plan: a kit's protocol bound to the canals on record, by the chapter "The plan, exactly". Always derived,
 * never stored; it refuses nothing and asks nothing of the guard or the totals.
 */

import { groupedBy } from "./grouping.ts";
import { Line, type Slot } from "./plan_line.ts";
import type { At, DrawUp, Left, Next, Plan, PlanLine, Planned } from "./plan_values.ts";
import { ms, ul, um } from "./quantities.ts";
import { CHAMBER } from "./sites.ts";
import type { AnyEvent, Ask, Canal, Kit, Protocol, Step, VisitRecord } from "./types.ts";

/** Rounds of a stage per instrument that are drawn up for: a choice. */
export const INSTRUMENTS = 3;
/** Filling of one syringe that is drawn up: a choice. */
export const SYRINGE_UL = ul(5000);

const RESTING: ReadonlySet<Canal["state"]> = new Set(["suspected", "filled", "left"]);

/** A site with its line; the chamber is no canal. */
interface Followed {
  readonly site: string;
  readonly canal: Canal | null;
  readonly line: Line;
}

/**
 * The protocol of a kit, bound to the canals of a record; without a protocol the plan is empty.
 *
 * @param visit Which of the protocol's visits, from 1; null = told by a dressing left in.
 */
export function plan(kit: Kit, record: VisitRecord, visit: number | null = null): Plan {
  const { protocol } = kit;
  if (protocol === null) {
    return { protocol: null, version: null, visit: 1, lines: [], next: null, draw_up: [] };
  }
  const number = visit ?? visitNumber(protocol, record);
  const bound = new Bound(protocol, record, number);
  const canals = record.canals.map(
    (canal): Followed => ({ site: canal.canal, canal, line: bound.line(canal.canal, "canal") }),
  );
  const goneBy = Math.max(0, ...canals.map(({ line }) => line.reached));
  const chamber = { site: CHAMBER, canal: null, line: bound.line(CHAMBER, "chamber", goneBy) };
  const followed = [...canals, chamber];
  return {
    protocol: protocol.protocol,
    version: protocol.version,
    visit: number,
    lines: followed.map(planLine),
    next: toothNext(followed),
    draw_up: drawUp(protocol, record.canals.length, number),
  };
}

/** Which of the protocol's visits a record is of, as far as what was left in tells. */
export function visitNumber(protocol: Protocol, record: VisitRecord): number {
  const dressed = record.opened?.present_at_start.some((left) => left.dressing) ?? false;
  return dressed ? Math.min(2, protocol.case.visits) : 1;
}

/** What a protocol asks at a visit: of irrigants that its stages use, for this visit or for each. */
export function asksOfVisit(protocol: Protocol, visit: number): readonly Ask[] {
  const steps = protocol.stages.filter((one) => one.visit === visit).flatMap((one) => one.steps);
  const poured = new Set(steps.map((step) => step.solution));
  const used = new Set(
    protocol.solutions
      .filter((one) => poured.has(one.solution))
      .flatMap((one) => one.contents.map((part) => part.irrigant)),
  );
  return protocol.asks.filter((ask) => (ask.visit ?? visit) === visit && used.has(ask.irrigant));
}

/**
 * What to draw up before a visit, by solution in the protocol's order.
 *
 * @throws RangeError for a syringe of no volume, or a negative count.
 */
export function drawUp(
  protocol: Protocol,
  canals: number,
  visit = 1,
  instruments = INSTRUMENTS,
  syringeUl: number = SYRINGE_UL,
): DrawUp[] {
  if (syringeUl <= 0 || canals < 0 || instruments < 0) {
    throw new RangeError("expected a syringe of more than 0 µL, and counts of 0 or more");
  }
  const asked = protocol.stages
    .filter((stage) => stage.visit === visit)
    .flatMap((stage) => {
      const rounds = stage.repeats === "per_instrument" ? instruments : stage.cycles;
      return stage.steps
        .filter((step) => step.act === "irrigate" && step.solution !== null)
        .map((step) => ({
          solution: step.solution,
          volumeUl: rounds * (step.site === "canal" ? canals : 1) * (step.volume_ul ?? 0),
        }));
    });
  const bySolution = groupedBy(asked, (one) => one.solution);
  return protocol.solutions.flatMap((solution) => {
    const parts = bySolution.get(solution.solution);
    if (parts === undefined) return [];
    const volumeUl = parts.reduce((sum, part) => sum + part.volumeUl, 0);
    const syringes = Math.max(1, Math.ceil(volumeUl / syringeUl));
    return { solution, volume_ul: ul(volumeUl), syringes };
  });
}

/** A protocol and a record, ready to lay out lines. */
class Bound {
  readonly #protocol: Protocol;
  readonly #visit: number;
  readonly #acts: readonly AnyEvent[];
  readonly #solutions: ReadonlyMap<string, string>;
  readonly #poured: ReadonlyMap<string, string>;

  constructor(protocol: Protocol, record: VisitRecord, visit: number) {
    this.#protocol = protocol;
    this.#visit = visit;
    const close = record.standing.findIndex((event) => event.kind === "visit_closed");
    this.#acts = close < 0 ? record.standing : record.standing.slice(0, close);
    this.#solutions = new Map(
      protocol.solutions.map((one) => [one.solution, irrigantsOf(one.contents)]),
    );
    this.#poured = new Map(record.deliveries.map((one) => [one.id, irrigantsOf(one.contents)]));
  }

  /** A site's line, followed to its present place; a person's word holds from its key on. */
  line(site: string, kind: Step["site"], goneBy = 0): Line {
    const line = new Line(this.#protocol, this.#visit, kind, goneBy);
    for (const event of this.#acts) {
      if (event.kind === "step_done" || event.kind === "step_skipped") {
        const status = event.kind === "step_done" ? "done" : "skipped";
        if (event.canal === site) line.mark(event.step, event.cycle, { status, event: event.id });
      } else if (isAt(event, site)) {
        const found = line.take(event.id, (step) => this.#fits(event, step));
        if (!found && event.kind !== "check_done") line.outside.push(event.id);
      }
    }
    return line;
  }

  #fits(event: PlanAct, step: Step): boolean {
    switch (event.kind) {
      case "irrigant_delivered":
        return (
          step.act === "irrigate" &&
          step.solution !== null &&
          step.on_file === (event.by === "on_file") &&
          this.#solutions.get(step.solution) === this.#poured.get(event.id)
        );
      case "irrigant_removed":
        return step.act === "remove" && (step.by === event.by || step.site === "chamber");
      case "check_done":
        return step.act === "check" && step.check === event.what;
      case "instrument_used":
        return step.act === "instrument" && (event.motion ?? step.motion) === step.motion;
      case "canal_recapitulated":
        return step.act === "recapitulate";
      case "activation_started":
        return step.act === "activate" && step.activation === event.activation;
      case "dressing_placed":
        return step.act === "dress";
      case "canal_filled":
        return step.act === "fill";
    }
  }
}

/** The events that can take a step. */
type PlanAct = Extract<
  AnyEvent,
  {
    readonly kind:
      | "irrigant_delivered"
      | "irrigant_removed"
      | "check_done"
      | "instrument_used"
      | "canal_recapitulated"
      | "activation_started"
      | "dressing_placed"
      | "canal_filled";
  }
>;

/** Whether an event is an act at a site; a check of the whole tooth is one everywhere. */
function isAt(event: AnyEvent, site: string): event is PlanAct {
  switch (event.kind) {
    case "irrigant_delivered":
    case "irrigant_removed":
    case "dressing_placed":
    case "canal_filled":
      return event.site === site;
    case "check_done":
      return event.site === null || event.site === site;
    case "instrument_used":
    case "canal_recapitulated":
    case "activation_started":
      return event.canal === site;
    default:
      return false;
  }
}

/** The set of irrigants of some contents, as one text. */
function irrigantsOf(contents: readonly { readonly irrigant: string }[]): string {
  return [...new Set(contents.map((component) => component.irrigant))].sort().join(" ");
}

function nextOf({ line, canal }: Followed): ReturnType<Line["next"]> {
  const isResting = canal !== null && RESTING.has(canal.state);
  return isResting ? { next: null, orNext: null } : line.next();
}

function planLine(followed: Followed): PlanLine {
  const { site, line, canal } = followed;
  const { next, orNext } = nextOf(followed);
  return {
    site,
    steps: line.slots().map((slot) => planned(line, slot, canal)),
    next: at(line, next),
    or_next: at(line, orNext),
    left: next === null ? NOTHING_LEFT : left(line),
    outside: line.outside,
  };
}

function at(line: Line, slot: Slot | null): At | null {
  return slot === null ? null : named(line, slot);
}

function named(line: Line, slot: Slot): At {
  const stage = line.stages[slot.stage]?.stage.stage ?? "";
  return { stage, step: line.step(slot).step, cycle: slot.round + 1 };
}

function planned(line: Line, slot: Slot, canal: Canal | null): Planned {
  const asked = line.step(slot);
  return { ...named(line, slot), ...line.status(slot), asked, tip_um: tipUm(asked, canal) };
}

function tipUm(asked: Step, canal: Canal | null): Planned["tip_um"] {
  const lengthUm = canal?.working_length_um ?? null;
  if (lengthUm === null || asked.tip_short_of_wl_um === null) return null;
  return um(Math.max(0, lengthUm - asked.tip_short_of_wl_um));
}

const NOTHING_LEFT: Left = { volumes: {}, activations: 0, activation_ms: ms(0), at_least: false };

function left(line: Line): Left {
  const open = line.openSteps();
  const poured = open.flatMap(({ act, solution, volume_ul: volumeUl }) =>
    act === "irrigate" && solution !== null && volumeUl !== null && volumeUl > 0
      ? [{ solution, volumeUl }]
      : [],
  );
  const volumes = [...groupedBy(poured, (one) => one.solution)].map(
    ([solution, parts]) =>
      [solution, ul(parts.reduce((sum, part) => sum + part.volumeUl, 0))] as const,
  );
  const activations = open.filter((step) => step.act === "activate");
  return {
    volumes: Object.fromEntries(volumes),
    activations: activations.length,
    activation_ms: ms(activations.reduce((sum, step) => sum + (step.duration_ms ?? 0), 0)),
    at_least: line.mayGrow(),
  };
}

/** The least next of all lines; ties in the order of the lines, the chamber last. */
function toothNext(followed: readonly Followed[]): Next | null {
  const candidates = followed.flatMap((one) => {
    const { next } = nextOf(one);
    const stage = next === null ? undefined : one.line.stages[next.stage];
    if (next === null || stage === undefined) return [];
    const rank = [stage.index, next.round, stage.steps[next.step]?.index ?? 0];
    return { rank, next: { site: one.site, ...named(one.line, next) } };
  });
  const [least] = candidates.sort((a, b) => byRank(a.rank, b.rank));
  return least?.next ?? null;
}

function byRank(a: readonly number[], b: readonly number[]): number {
  const differences = a.map((rank, place) => rank - (b[place] ?? 0));
  return differences.find((difference) => difference !== 0) ?? 0;
}
