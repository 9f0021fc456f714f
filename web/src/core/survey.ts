/**
 * The first reading, in the order of keys: what each act reached and when it took effect. Depths and
 * known canals hold by key; the sweep then puts the acts into columns by instant.
 */

import type { Amounts } from "./amounts.ts";
import { mixed } from "./contents.ts";
import { activationReachUm, KnownCanal, type Range, tipReachUm } from "./depth.ts";
import { finding } from "./findings.ts";
import { ms } from "./quantities.ts";
import type { Rack } from "./rack.ts";
import { Residues } from "./residue.ts";
import { CHAMBER } from "./sites.ts";
import type { Op } from "./sweep.ts";
import type {
  ActivationStarted,
  AnyEvent,
  CanalFilled,
  CanalRecapitulated,
  Delivered,
  DressingPlaced,
  Finding,
  InstrumentUsed,
  IrrigantDelivered,
  IrrigantRemoved,
  LeftIn,
  Mix,
  Reach,
  VisitOpened,
} from "./types.ts";

const WHOLE: Range = { topUm: 0, bottomUm: Number.POSITIVE_INFINITY };

export class Survey {
  readonly canals = new Map<string, KnownCanal>();
  readonly ops: Op[] = [];
  /** What files took deeper: acts of the second account alone. */
  readonly carried: Op[] = [];
  readonly deliveries: Delivered[] = [];
  readonly residues = new Residues();
  readonly findings: Finding[] = [];
  readonly #reach: Reach;
  readonly #rack: Rack;
  readonly #amounts: Amounts;
  #openedAtMs: number | null = null;
  /** Instant of the last act that touched a site. [ms] */
  readonly #touchedMs = new Map<string, number>();

  constructor(reach: Reach, rack: Rack, amounts: Amounts) {
    this.#reach = reach;
    this.#rack = rack;
    this.#amounts = amounts;
  }

  /** The next event by key. */
  take(event: AnyEvent): void {
    switch (event.kind) {
      case "visit_opened":
        this.#open(event);
        break;
      case "canal_set":
        this.#known(event.canal).learn(event);
        break;
      case "irrigant_delivered":
        this.#deliver(event);
        break;
      case "irrigant_removed":
        this.#remove(event);
        break;
      case "activation_started":
        this.#activate(event);
        break;
      case "activation_stopped":
        this.#named(event.canal, event);
        this.ops.push({ does: "stop", atMs: event.occurred_at_ms, event, canal: event.canal });
        break;
      case "instrument_used":
      case "canal_recapitulated":
        this.#instrument(event);
        break;
      case "dressing_placed":
      case "canal_filled":
        this.#close(event);
        break;
      default:
        break;
    }
  }

  /** What came after the close: amounts count and lengths are known, contact does not begin. */
  takeLate(event: AnyEvent): void {
    if (event.kind === "irrigant_delivered") {
      if (event.site !== CHAMBER) this.#known(event.site);
      this.#note(event, event.occurred_at_ms, true);
    } else if (event.kind === "canal_set") {
      this.#known(event.canal).learn(event);
    }
  }

  #known(canal: string): KnownCanal {
    const known = this.canals.get(canal) ?? new KnownCanal(canal);
    this.canals.set(canal, known);
    return known;
  }

  /** The canal that an act names; a finding if nobody had declared it. */
  #named(canal: string, event: AnyEvent): KnownCanal {
    if (!this.canals.has(canal)) {
      const said = { sites: [canal], events: [event.id] };
      this.findings.push(finding("canal_not_declared", "notice", said));
    }
    return this.#known(canal);
  }

  #instrument(event: InstrumentUsed | CanalRecapitulated): void {
    const { canal, length_um: lengthUm, occurred_at_ms: atMs } = event;
    const known = this.#named(canal, event);
    known.reached(lengthUm);
    this.residues.filed(canal);
    if (lengthUm === null) return;
    this.carried.push({ does: "carry", atMs, event, canal, range: known.within(lengthUm) });
  }

  #open(event: VisitOpened): void {
    this.#openedAtMs ??= event.occurred_at_ms;
    for (const canal of event.canals) this.#known(canal);
    for (const left of event.present_at_start) this.#leftIn(event, left);
  }

  #leftIn(event: VisitOpened, left: LeftIn): void {
    const contents = mixed(left.contents);
    const atMs = event.occurred_at_ms;
    const { dressing } = left;
    if (left.site !== CHAMBER) {
      const known = this.#known(left.site);
      const bottomUm = known.workingLengthUm ?? Number.POSITIVE_INFINITY;
      const range = { topUm: known.orificeUm, bottomUm };
      const rest = { contents, freshUntilMs: null, fromChamber: false, dressing };
      this.ops.push({ does: "fill", atMs, event, canal: left.site, range, ...rest });
    } else if (!dressing) {
      this.ops.push({ does: "chamber", atMs, event, contents });
    }
    this.residues.soil(left.site, [left.site], contents, event, { dressing });
  }

  #deliver(event: IrrigantDelivered): void {
    const contents = this.#rack.contents(event);
    const inCanal = event.site !== CHAMBER;
    const carried = event.by === "on_file";
    const reached = inCanal ? this.#intoCanal(event, contents) : this.#fromChamber(event, contents);
    const startMs = this.#startMs(event, event.site);
    this.ops.push({ does: "chamber", atMs: startMs, event, contents });
    for (const site of [...reached, CHAMBER]) this.#touchedMs.set(site, event.occurred_at_ms);
    const { volume_ul } = this.#note(event, startMs, false);
    const rinse = { event: event.id, contents, volume_ul, rinses: true, removes: false };
    this.residues.clear(CHAMBER, rinse);
    if (inCanal) this.residues.clear(event.site, rinse);
    this.residues.soil(event.site, reached, contents, event, { carried: inCanal && carried });
  }

  #intoCanal(event: IrrigantDelivered, contents: Mix): readonly string[] {
    const known = this.#named(event.site, event);
    if (event.by === "on_file") {
      known.reached(event.tip_um);
      this.residues.filed(event.site);
    }
    const range = known.within(this.#bottomUm(event, known));
    this.#fill(event, known.canal, range, contents, false);
    return [event.site];
  }

  /** Canals that a chamber delivery runs into. */
  #fromChamber(event: IrrigantDelivered, contents: Mix): readonly string[] {
    const reached: string[] = [];
    for (const [canal, known] of this.canals) {
      const range = known.within(known.orificeUm + this.#reach.chamber_reach_um);
      if (!known.isOpen || range.bottomUm <= range.topUm) continue;
      this.#fill(event, canal, range, contents, true);
      reached.push(canal);
    }
    return reached;
  }

  #bottomUm(event: IrrigantDelivered, known: KnownCanal): number {
    if (event.tip_um === null) return known.orificeUm + this.#reach.chamber_reach_um;
    if (event.by === "on_file" || event.by === "point") return event.tip_um;
    const needleTip = this.#rack.before(event.syringe, event)?.needle_tip ?? null;
    return event.tip_um + tipReachUm(this.#reach, needleTip);
  }

  #fill(
    event: IrrigantDelivered,
    canal: string,
    range: Range,
    contents: Mix,
    fromChamber: boolean,
  ): void {
    const atMs = this.#startMs(event, canal);
    const freshUntilMs = event.occurred_at_ms + this.#reach.renew_within_ms;
    const rest = { contents, freshUntilMs, fromChamber, dressing: false };
    if (range.topUm < range.bottomUm) {
      this.ops.push({ does: "fill", atMs, event, canal, range, ...rest });
    }
  }

  /** When a delivery began to work at a site: not before the act that touched it last. [ms] */
  #startMs(event: IrrigantDelivered, site: string): number {
    const startMs = event.occurred_at_ms - (event.duration_ms ?? 0);
    const earliestMs = Math.min(this.#openedAtMs ?? 0, event.occurred_at_ms);
    return Math.max(startMs, this.#touchedMs.get(site) ?? earliestMs);
  }

  #note(event: IrrigantDelivered, startMs: number, afterClose: boolean): Delivered {
    const delivered: Delivered = {
      id: event.id,
      site: event.site,
      contents: this.#rack.contents(event),
      start_ms: ms(startMs),
      end_ms: event.occurred_at_ms,
      volume_ul: this.#amounts.volumeUl.get(event.id) ?? null,
      recorded_ul: event.volume_ul,
      how: event.how,
      tip_um: event.tip_um,
      syringe: event.syringe,
      on_file: event.by === "on_file",
      after_close: afterClose,
    };
    this.deliveries.push(delivered);
    return delivered;
  }

  #remove(event: IrrigantRemoved): void {
    const { site, occurred_at_ms: atMs } = event;
    const removal = {
      event: event.id,
      contents: null,
      volume_ul: null,
      rinses: false,
      removes: true,
    }; // prettier-ignore
    if (site === CHAMBER) {
      this.ops.push({ does: "chamber", atMs, event, contents: null });
      this.residues.clear(CHAMBER, removal);
    } else {
      const { orificeUm } = this.#named(site, event);
      const shallow = { topUm: 0, bottomUm: orificeUm + this.#reach.chamber_reach_um };
      const byDefault = event.by === "points" ? WHOLE : shallow;
      const range = event.to_um === null ? byDefault : { topUm: 0, bottomUm: event.to_um };
      this.ops.push({ does: "empty", atMs, event, canal: site, range });
      if (event.by === "points") this.residues.clear(site, removal);
    }
    this.#touchedMs.set(site, atMs);
  }

  #activate(event: ActivationStarted): void {
    const known = this.#named(event.canal, event);
    const { activation, tip_um: tipUm } = event;
    const bottomUm =
      tipUm === null
        ? known.orificeUm + this.#reach.chamber_reach_um
        : tipUm + activationReachUm(this.#reach, activation);
    this.ops.push({
      does: "start",
      atMs: event.occurred_at_ms,
      event,
      canal: event.canal,
      activation,
      range: known.within(bottomUm),
      drawsChamber: this.#reach.activations.some(
        (one) => one.activation === activation && one.draws_chamber,
      ),
    });
  }

  /** A dressing or a filling takes the place of whatever was in the canal. */
  #close(event: DressingPlaced | CanalFilled): void {
    const { site, occurred_at_ms: atMs } = event;
    if (site !== CHAMBER) {
      this.#named(site, event);
      this.ops.push({ does: "empty", atMs, event, canal: site, range: WHOLE });
      this.#touchedMs.set(site, atMs);
    }
    if (event.kind === "dressing_placed") {
      const contents: Mix = [{ irrigant: event.material, concentration_mg_per_l: null }];
      this.residues.soil(site, [site], contents, event);
    } else if (site !== CHAMBER) {
      this.#known(site).fill();
      this.residues.forget(site);
    }
  }
}
