/**
 * Units as types: a number becomes a quantity here and nowhere else, and every factor is named.
 * Small units are whole numbers, so that sums are exact and equal in every language.
 */

import type { Microlitres, Micrometres, MilligramsPerLitre, Milliseconds } from "../wire/types.ts";

export type { Microlitres, Micrometres, MilligramsPerLitre, Milliseconds };

export const MS_PER_S = 1000;
export const MS_PER_MIN = 60_000;
export const UL_PER_ML = 1000;
export const UM_PER_MM = 1000;
/** 1 % w/v is 1 g in 100 mL, so 10 000 mg/L (USP General Notices, Percentage concentrations). */
export const MG_PER_L_PER_PCT_WV = 10_000;
/** A taper of 1 % widens by 0.01 mm per mm of length (ISO 3630-1, designation of taper). */
export const UM_PER_MM_PER_TAPER_PCT = 10;
/** A size of 1 is 0.01 mm (ISO 3630-1, designation of size). */
export const UM_PER_SIZE = 10;
export const NG_PER_MG = 1_000_000;

export const ms = (count: number): Milliseconds => count as Milliseconds;
export const ul = (count: number): Microlitres => count as Microlitres;
export const um = (count: number): Micrometres => count as Micrometres;
export const mgPerL = (count: number): MilligramsPerLitre => count as MilligramsPerLitre;
