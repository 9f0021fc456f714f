/** The sheet as the server gives it; nulls are unknown. */

import type { Component, PairLevel, SyringePrepared } from "../../../core/types.ts";

export type NeedleTip = NonNullable<SyringePrepared["needle_tip"]>;

export interface CanalKnown {
  readonly canal: string;
  readonly orifice_um: number | null;
  readonly working_length_um: number | null;
  readonly apical_size: number | null;
  readonly taper_um_per_mm: number | null;
}

export interface NeedleHad {
  readonly needle_gauge: number;
  readonly needle_tip: NeedleTip;
}

export interface SetOutAsked {
  readonly kit: string;
  readonly canals: readonly CanalKnown[];
  readonly visit: number;
  /** Left out, the server looks at its usual ones. */
  readonly needles?: readonly NeedleHad[];
}

export interface NeedleOut extends NeedleHad {
  readonly shortest_of_wl_mm: number | null;
  readonly short_of_wl_mm: number | null;
  readonly stop_mm: number | null;
  readonly not_reached_mm: number | null;
  readonly not_reached_ul: number | null;
}

export interface CanalOut {
  readonly canal: string;
  readonly missing: readonly string[];
  readonly orifice_um: number | null;
  readonly volume_ul: number | null;
  readonly exchanges_per_ml: number | null;
  readonly exchange_at_wl_expected: boolean | null;
  readonly needles: readonly NeedleOut[];
}

export interface SeparationOut {
  readonly pair: {
    readonly first: string;
    readonly first_mg_per_l: number | null;
    readonly second: string;
    readonly level: PairLevel;
    readonly rinse_ul: number;
    readonly removals: number;
    readonly planned_rinse_ul: number;
    readonly planned_removals: number;
  };
  readonly drying_cycles: number | null;
  readonly canals: readonly (NeedleHad & { readonly canal: string; readonly text: string })[];
}

export interface SetOut {
  readonly syringe_ul: number;
  readonly instruments: number;
  readonly solutions: readonly {
    readonly solution: string;
    readonly contents: readonly Component[];
    readonly volume_ul: number;
    readonly syringes: number;
  }[];
  readonly canals: readonly CanalOut[];
  readonly separations: readonly SeparationOut[];
  readonly time: {
    readonly flow_ml_per_min: number;
    readonly delivery_s: number;
    readonly contact_s: number;
    readonly activation_s: number;
    readonly asked_contact_s: number;
    readonly least_s: number;
    readonly most_s: number;
    readonly at_least: boolean;
  };
  readonly sources: readonly {
    readonly of: string;
    readonly basis: string;
    readonly text: string;
  }[];
  readonly cautions: readonly string[];
}
