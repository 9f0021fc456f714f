/** What is known of a canal at each key, and how deep an act can have reached there. */

import { um } from "./quantities.ts";
import { isOpen } from "./sites.ts";
import type {
  Activation,
  Canal,
  CanalSet,
  Join,
  Micrometres,
  Reach,
  SyringePrepared,
} from "./types.ts";

type NeedleTip = SyringePrepared["needle_tip"];

/** A stretch of depth from `topUm` to `bottomUm`; without length it reaches nothing. */
export interface Range {
  readonly topUm: number;
  readonly bottomUm: number;
}

/** A canal as its events are read in the order of their keys. */
export class KnownCanal {
  readonly canal: string;
  #name: string | null = null;
  #state: Canal["state"] = null;
  #orificeUm: Micrometres | null = null;
  #workingLengthUm: Micrometres | null = null;
  #apicalSize: number | null = null;
  #taperUmPerMm: number | null = null;
  #referencePoint: string | null = null;
  #joins: Join | null = null;
  #instrumentsUm: Micrometres | null = null;

  constructor(canal: string) {
    this.canal = canal;
  }

  /** A null leaves what was known as it was. */
  learn(event: CanalSet): void {
    this.#name = event.name ?? this.#name;
    this.#state = event.state ?? this.#state;
    this.#orificeUm = event.orifice_um ?? this.#orificeUm;
    this.#workingLengthUm = event.working_length_um ?? this.#workingLengthUm;
    this.#apicalSize = event.apical_size ?? this.#apicalSize;
    this.#taperUmPerMm = event.taper_um_per_mm ?? this.#taperUmPerMm;
    this.#referencePoint = event.reference_point ?? this.#referencePoint;
    this.#joins = event.joins ?? this.#joins;
  }

  fill(): void {
    this.#state = "filled";
  }

  /** An instrument reached a length. */
  reached(lengthUm: Micrometres | null): void {
    if (lengthUm === null) return;
    this.#instrumentsUm = um(Math.max(this.#instrumentsUm ?? 0, lengthUm));
  }

  get orificeUm(): number {
    return this.#orificeUm ?? 0;
  }

  get joins(): Join | null {
    return this.#joins;
  }

  get workingLengthUm(): number | null {
    return this.#workingLengthUm;
  }

  /** Whether what goes into the chamber can enter it. */
  get isOpen(): boolean {
    return isOpen(this.#state);
  }

  /** From the orifice to a depth, no deeper than instruments and working length allow. */
  within(bottomUm: number): Range {
    const limits = [bottomUm, this.#instrumentsUm, this.#workingLengthUm];
    return {
      topUm: this.orificeUm,
      bottomUm: Math.min(...limits.filter((limit): limit is Micrometres => limit !== null)),
    };
  }

  asCanal(): Canal {
    return {
      canal: this.canal,
      name: this.#name,
      state: this.#state,
      orifice_um: this.#orificeUm,
      working_length_um: this.#workingLengthUm,
      apical_size: this.#apicalSize,
      taper_um_per_mm: this.#taperUmPerMm,
      reference_point: this.#referencePoint,
      joins: this.#joins,
      instruments_um: this.#instrumentsUm,
    };
  }
}

/** How far fresh solution is expected beyond a needle's tip. [µm] */
export function tipReachUm(reach: Reach, needleTip: NeedleTip): number {
  const known = reach.tips.find((tip) => tip.needle_tip === needleTip);
  return known?.reach_um ?? reach.unknown_tip_reach_um;
}

/** How far an activation is expected to work beyond its tip; 0 for one the kit lacks. [µm] */
export function activationReachUm(reach: Reach, activation: Activation): number {
  return reach.activations.find((one) => one.activation === activation)?.reach_um ?? 0;
}
