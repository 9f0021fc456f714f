/**
 * What each calculator asks on the screen: fields, their steps and what is usual.
 *
 * Names are the server's. `usual` decides only when a value is asked about; what is possible the server
 * says. Not here: words, reading, and any formula.
 */

import { unitOf } from "./numbers";

export const CALCULATORS = [
  "strength",
  "dilute",
  "mix",
  "storage",
  "canal",
  "needle",
  "flow",
  "rinse",
  "exposure",
  "warmth",
] as const;
export type Calculator = (typeof CALCULATORS)[number];

/** Texts as typed and options as chosen, by name. */
export type Values = { readonly [name: string]: string };

export interface NumberField {
  readonly kind: "number";
  readonly name: string;
  readonly unit: string;
  readonly step: number;
  /** Where the first press leads. */
  readonly start: number;
  /** Outside of these the value is asked about before it is used. */
  readonly usual: readonly [number, number];
  readonly whole: boolean;
  readonly optional: boolean;
  /** Shown among the assumptions. */
  readonly assumed: boolean;
  /** Sizes that exist, to step through. */
  readonly ladder: readonly number[] | null;
}

export interface ChoiceField {
  readonly kind: "choice";
  readonly name: string;
  readonly options: readonly string[];
  /** Whether the server is told; if not it only decides what is asked. */
  readonly sent: boolean;
}

export interface HistoryField {
  readonly kind: "history";
  readonly name: "history";
}

export type Field = NumberField | ChoiceField | HistoryField;

const SIZES = [
  6, 8, 10, 15, 20, 25, 30, 35, 40, 45, 50, 55, 60, 70, 80, 90, 100, 110, 120, 130, 140,
];
const TIPS = [
  "side_vented",
  "double_side_vented",
  "multi_vented",
  "notched",
  "bevelled",
  "flat",
] as const;
export const BASES = [
  "concentration_pct_wv",
  "concentration_pct_ww",
  "chlorine_pct_wv",
  "chlorine_pct_ww",
  "chlorine_g_per_l",
  "chlorine_mg_per_l",
  "degrees",
] as const;

/** What is chosen before anything is: only questions, never a basis. */
export const CHOSEN: Values = {
  mixing_question: "together",
  storage_question: "one",
  flow_question: "known",
  with_canal: "no",
};

type Extra = Partial<Pick<NumberField, "whole" | "optional" | "assumed" | "ladder" | "unit">>;

function number(
  name: string,
  step: number,
  start: number,
  usual: readonly [number, number],
  extra: Extra = {},
): NumberField {
  return {
    kind: "number",
    name,
    unit: unitOf(name),
    step,
    start,
    usual,
    whole: false,
    optional: false,
    assumed: false,
    ladder: null,
    ...extra,
  };
}

function choice(name: string, options: readonly string[], sent = false): ChoiceField {
  return { kind: "choice", name, options, sent };
}

const assumed = { optional: true, assumed: true } as const;

const LABELS: { readonly [basis: string]: NumberField } = {
  concentration_pct_wv: number("concentration_pct_wv", 0.25, 5.25, [0.1, 15]),
  concentration_pct_ww: number("concentration_pct_ww", 0.25, 5.25, [0.1, 13]),
  chlorine_pct_wv: number("chlorine_pct_wv", 0.25, 5, [0.1, 15]),
  chlorine_pct_ww: number("chlorine_pct_ww", 0.25, 5, [0.1, 12]),
  chlorine_g_per_l: number("chlorine_g_per_l", 1, 50, [1, 150]),
  chlorine_mg_per_l: number("chlorine_mg_per_l", 1000, 50_000, [500, 150_000]),
  degrees: number("degrees", 0.5, 15, [0.5, 47.3]),
};

function labelled(values: Values): readonly Field[] {
  const label = LABELS[values.basis ?? ""];
  if (label === undefined) return [choice("basis", BASES)];
  return [choice("basis", BASES), label, number("excess_naoh_pct_ww", 0.1, 0.3, [0, 1.5], assumed)];
}

/** A strength that is taken as % w/v only when the person has said so. */
function byVolume(values: Values, ...fields: readonly NumberField[]): readonly Field[] {
  const asked = choice("basis", ["concentration_pct_wv", "other"]);
  return values.basis === "concentration_pct_wv" ? [asked, ...fields] : [asked];
}

const SHAPE: readonly NumberField[] = [
  number("working_length_mm", 0.5, 20, [10, 30]),
  number("apical_size", 5, 30, [15, 100], { ladder: SIZES }),
  number("taper_pct", 1, 4, [0, 10]),
  number("orifice_mm", 0.5, 8, [0, 15], { optional: true }),
  number("working_part_mm", 0.5, 16, [8, 30], assumed),
  number("cap_mm", 0.05, 1.2, [0.3, 2], assumed),
];
const SHORT = number("short_of_wl_mm", 0.5, 2, [0, 12]);
const GAUGE = number("needle_gauge", 1, 30, [21, 31], { whole: true });
const TIP = choice("needle_tip", TIPS, true);
const FORMS: { readonly [name in Calculator]: (values: Values) => readonly Field[] } = {
  strength: (values) => [
    ...labelled(values),
    ...(values.basis === undefined ? [] : strengthMore(values)),
  ],
  dilute: (values) => [
    ...labelled(values),
    number("target_pct_wv", 0.25, 2.5, [0.1, 12]),
    number("volume_ml", 10, 100, [1, 5000]),
  ],
  mix: (values) => [
    choice("mixing_question", ["together", "wanted"]),
    ...byVolume(
      values,
      number("first_pct_wv", 0.25, 5.25, [0, 20]),
      number("second_pct_wv", 0.25, 1, [0, 20]),
    ),
    ...(values.mixing_question === "wanted"
      ? [number("target_pct_wv", 0.25, 2.5, [0.1, 20]), number("volume_ml", 10, 50, [1, 5000])]
      : [number("first_ml", 5, 30, [0, 5000]), number("second_ml", 5, 20, [0, 5000])]),
  ],
  storage: (values) => [
    ...labelled(values),
    choice("storage_question", ["one", "history"]),
    ...(values.storage_question === "history"
      ? [{ kind: "history", name: "history" } as const]
      : [number("days", 10, 90, [0, 1100]), number("celsius", 1, 20, [2, 40])]),
    number("tolerance_pct", 1, 10, [1, 50], { optional: true }),
    number("hydroxide_mol_per_l", 0.05, 0.1, [0, 0.6], assumed),
  ],
  canal: () => [
    ...SHAPE,
    number("short_of_wl_mm", 0.5, 3, [0, 15], { optional: true }),
    number("volume_ml", 0.5, 1, [0.05, 60], { optional: true }),
  ],
  needle: () => [
    ...SHAPE,
    GAUGE,
    TIP,
    { ...SHORT, optional: true },
    number("clearance_mm", 0.01, 0.05, [0, 0.2], assumed),
  ],
  flow: (values) => [
    GAUGE,
    number("needle_length_mm", 1, 25, [15, 45], { optional: true }),
    choice("syringe_ml", ["1", "3", "5", "10", "20"], true),
    choice("flow_question", ["known", "timed"]),
    ...(values.flow_question === "timed"
      ? [number("volume_ml", 0.5, 1, [0.05, 60]), number("seconds", 1, 12, [1, 900])]
      : [
          number("flow_ml_per_min", 0.5, 4, [0.3, 30]),
          number("volume_ml", 1, 10, [0.05, 200], { optional: true }),
        ]),
    choice("with_canal", ["no", "yes"]),
    ...(values.with_canal === "yes" ? [...SHAPE.filter((f) => !f.assumed), SHORT] : []),
    number("density_kg_per_m3", 5, 1040, [990, 1250], assumed),
    number("viscosity_mpa_s", 0.05, 0.99, [0.5, 5], assumed),
  ],
  rinse: (values) => [
    ...byVolume(values, number("concentration_pct_wv", 0.25, 2.5, [0.1, 8.25])),
    number("volume_ml", 0.5, 2, [0.1, 30]),
    number("seconds", 5, 30, [1, 900]),
    ...SHAPE,
    SHORT,
    TIP,
    number("limit_pct_wv", 0.005, 0.023, [0.0001, 1], assumed),
    number("mixing", 0.01, 0.05, [0.01, 0.5], assumed),
  ],
  exposure: (values) => [
    ...byVolume(values, number("concentration_pct_wv", 0.25, 2.5, [0.1, 8.25])),
    number("minutes", 1, 5, [0.1, 90]),
    number("fillings", 1, 5, [1, 100], { whole: true, optional: true }),
  ],
  warmth: () => [
    number("celsius", 1, 50, [20, 70]),
    number("seconds", 10, 60, [0, 900]),
    number("limit_celsius", 1, 45, [38, 60], { optional: true }),
  ],
};

function strengthMore(values: Values): readonly NumberField[] {
  const ph = number("ph", 0.5, 11, [5, 13.5], { optional: true });
  if ((values.ph ?? "").trim() === "") return [ph];
  return [ph, number("celsius", 1, 25, [5, 60], { optional: true })];
}

/** The fields of a calculator, given what is chosen so far. */
export function fieldsOf(calculator: Calculator, values: Values): readonly Field[] {
  return FORMS[calculator]({ ...CHOSEN, ...values });
}

export function isCalculator(name: string | null): name is Calculator {
  return (CALCULATORS as readonly (string | null)[]).includes(name);
}

/** One step of a number, up or down; along its ladder where it has one. */
export function stepped(field: NumberField, value: number | null, up: boolean): number {
  if (value === null) return field.start;
  if (field.ladder !== null) {
    const beyond = field.ladder.filter((size) => (up ? size > value : size < value));
    return (up ? beyond[0] : beyond.at(-1)) ?? value;
  }
  const steps = value / field.step;
  const next = up ? Math.floor(steps + 1e-9) + 1 : Math.ceil(steps - 1e-9) - 1;
  return Math.max(0, Number((next * field.step).toFixed(6)));
}
