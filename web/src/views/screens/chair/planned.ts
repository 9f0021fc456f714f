/** One act of the plan as the chair shows and logs it: what, where, how much, for how long. */

import type { Mix, Step } from "../../../core/types";

export interface PlannedAct {
  readonly stage: string;
  readonly step: string;
  readonly cycle: number;
  /** A canal, or the chamber. */
  readonly site: string;
  readonly act: Step["act"];
  readonly contents: Mix | null;
  readonly onFile: boolean;
  readonly volumeUl: number | null;
  readonly durationMs: number | null;
  readonly contactMs: number | null;
  readonly contactLimitMs: number | null;
  readonly activation: Step["activation"];
  readonly tipUm: number | null;
  readonly tipShortUm: number | null;
  readonly by: Step["by"];
  readonly check: Step["check"];
  readonly size: number | null;
  readonly taperUmPerMm: number | null;
  readonly motion: Step["motion"];
  readonly material: string | null;
  readonly text: string | null;
}
