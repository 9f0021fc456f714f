import { expect, test } from "vitest";
import { rowNames, rowsOf, tagsOf } from "../../src/views/screens/calculators/answers";
import {
  answerPath,
  askedOf,
  canalPath,
  confirmKey,
  curvePath,
  historyCuts,
  spanOf,
  stretchesOf,
  stretchesText,
} from "../../src/views/screens/calculators/asking";
import {
  CALCULATORS,
  type Calculator,
  fieldsOf,
  type NumberField,
  stepped,
} from "../../src/views/screens/calculators/forms";
import { fieldLabel, rowLabel } from "../../src/views/screens/calculators/labels";

const NONE: ReadonlySet<string> = new Set();
const CANAL = { working_length_mm: "20", apical_size: "30", taper_pct: "6" };

function field(calculator: Calculator, name: string, values = {}): NumberField {
  const found = fieldsOf(calculator, values).find((one) => one.name === name);
  if (found?.kind !== "number") throw new Error(`${calculator} asks no ${name}`);
  return found;
}

test.each(["strength", "dilute", "storage", "mix", "rinse", "exposure"] as const)(
  "%s asks the basis before the strength, and assumes none",
  (calculator) => {
    const names = fieldsOf(calculator, {}).map((one) => one.name);
    expect(names).toContain("basis");
    expect(names).not.toContain("concentration_pct_wv");
    expect(names).not.toContain("first_pct_wv");
    expect(askedOf(calculator, {}, NONE)).toMatchObject({ at: "open" });
  },
);

test("a strength goes under its own basis, and the basis itself is not sent", () => {
  const values = { basis: "chlorine_pct_ww", chlorine_pct_ww: "5,25" };
  const asked = askedOf("strength", values, NONE);
  expect(asked).toEqual({ at: "ready", given: { chlorine_pct_ww: 5.25 } });
});

test("a basis that a question does not take leaves it open", () => {
  const values = { basis: "other", concentration_pct_wv: "2.5", minutes: "5" };
  expect(askedOf("exposure", values, NONE)).toMatchObject({ at: "open", missing: ["basis"] });
});

test("an unusual value is asked about until it is said to be meant", () => {
  const values = { ...CANAL, working_length_mm: "35" };
  expect(askedOf("canal", values, NONE)).toMatchObject({
    at: "open",
    questioned: ["working_length_mm"],
  });
  const meant = new Set([confirmKey("working_length_mm", "35")]);
  expect(askedOf("canal", values, meant)).toMatchObject({ at: "ready" });
  const other = { ...values, working_length_mm: "36" };
  expect(askedOf("canal", other, meant)).toMatchObject({ at: "open" });
});

test("what can be read in two ways is not sent", () => {
  const values = { ...CANAL, volume_ml: "1,500" };
  expect(askedOf("canal", values, NONE)).toMatchObject({ questioned: ["volume_ml"] });
});

test("what is left open is left out, so that the server's own assumption stands", () => {
  const asked = askedOf("canal", { ...CANAL, orifice_mm: " " }, NONE);
  expect(asked).toEqual({
    at: "ready",
    given: { working_length_mm: 20, apical_size: 30, taper_pct: 6 },
  });
});

test("a gauge is whole", () => {
  const values = { ...CANAL, needle_tip: "flat", needle_gauge: "30,5" };
  expect(askedOf("needle", values, NONE)).toMatchObject({ questioned: ["needle_gauge"] });
});

test("figures typed for another question are not sent with this one", () => {
  const values = {
    mixing_question: "wanted",
    basis: "concentration_pct_wv",
    first_pct_wv: "5",
    second_pct_wv: "1",
    first_ml: "30",
    second_ml: "20",
    target_pct_wv: "2",
    volume_ml: "50",
  }; // prettier-ignore
  expect(askedOf("mix", values, NONE)).toEqual({
    at: "ready",
    given: { first_pct_wv: 5, second_pct_wv: 1, target_pct_wv: 2, volume_ml: 50 },
  });
});

test("the canal of a needle is asked by its form alone", () => {
  const asked = askedOf("needle", { ...CANAL, needle_tip: "flat", needle_gauge: "30" }, NONE);
  if (asked.at !== "ready") throw new Error("not ready");
  expect(canalPath(asked.given)).toBe(
    "/calc/canal?working_length_mm=20&apical_size=30&taper_pct=6&short_of_wl_mm=0",
  );
  expect(canalPath({ celsius: 50 })).toBeNull();
});

test("a curve leaves out what it varies, and a flow's also the volume and time it came from", () => {
  const given = { needle_gauge: 30, syringe_ml: "5", volume_ml: 1, seconds: 10 };
  const span = spanOf("flow", given, { flow_ml_per_min: 6 });
  if (span === null) throw new Error("no span");
  expect(curvePath("flow", given, span)).toBe(
    "/calc/flow/curve?needle_gauge=30&syringe_ml=5&over=flow_ml_per_min&from=0&to=18&points=24",
  );
});

test("the drawing of storage reaches the day of the tolerance where that is near", () => {
  const given = { concentration_pct_wv: 5.25, days: 60, celsius: 25 };
  expect(spanOf("storage", given, { days_to_tolerance: 107 })?.to).toBe(124);
  expect(spanOf("storage", given, { days_to_tolerance: 2950 })?.to).toBe(69);
  expect(spanOf("storage", given, { days_to_tolerance: null })?.to).toBe(69);
});

test("a history is cut at rising days, ends with itself, and asks at most 24 times", () => {
  const cuts = historyCuts("30:20,10:30");
  expect(cuts[0]).toEqual({ days: 0, history: "0:20" });
  expect(cuts.at(-1)).toEqual({ days: 40, history: "30:20,10:30" });
  expect(cuts.map((cut) => cut.days)).toEqual(
    cuts.map((cut) => cut.days).toSorted((a, b) => a - b),
  );
  for (const stretches of [1, 2, 3, 6]) {
    const history = Array.from({ length: stretches }, () => "10:20").join(",");
    expect(historyCuts(history).length).toBeLessThanOrEqual(24);
  }
});

test("stretches are kept as typed and sent as the server reads them", () => {
  const typed = stretchesText([
    { days: "30", celsius: "20,5" },
    { days: "", celsius: "" },
  ]);
  expect(stretchesOf(typed)[0]).toEqual({ days: "30", celsius: "20,5" });
  const values = { basis: "degrees", degrees: "15", storage_question: "history", history: typed };
  expect(askedOf("storage", values, NONE)).toEqual({
    at: "ready",
    given: { degrees: 15, history: "30:20.5" },
  });
});

test("a choice that the server is told goes as it is named", () => {
  const values = { needle_gauge: "27", syringe_ml: "10", flow_ml_per_min: "5" };
  const asked = askedOf("flow", values, NONE);
  if (asked.at !== "ready") throw new Error("not ready");
  expect(answerPath("flow", asked.given)).toBe(
    "/calc/flow?needle_gauge=27&syringe_ml=10&flow_ml_per_min=5",
  );
});

test("a step lands on round values, and sizes step through those that exist", () => {
  const taper = field("canal", "taper_pct");
  expect(stepped(taper, null, true)).toBe(taper.start);
  expect(stepped(field("canal", "working_length_mm"), 20.3, true)).toBe(20.5);
  expect(stepped(field("canal", "working_length_mm"), 20.3, false)).toBe(20);
  expect(stepped(taper, 0, false)).toBe(0);
  const size = field("canal", "apical_size");
  expect(stepped(size, 60, true)).toBe(70);
  expect(stepped(size, 27, false)).toBe(25);
  expect(stepped(size, 140, true)).toBe(140);
});

test.each(CALCULATORS)("every field and figure of %s has words of its own", (calculator) => {
  const spelled = (name: string): string => name.replaceAll("_", " ");
  for (const one of fieldsOf(calculator, { basis: "concentration_pct_wv", with_canal: "yes" })) {
    if (one.name !== "ph") expect(fieldLabel(calculator, one.name)).not.toBe(spelled(one.name));
  }
  for (const name of rowNames(calculator)) {
    expect(rowLabel(calculator, name)).toMatch(/^[A-Z]/);
  }
});

test("a start never needs to be asked about, and lies on a step that exists", () => {
  for (const calculator of CALCULATORS) {
    const values = { basis: "concentration_pct_wv", with_canal: "yes", ph: "11" };
    for (const one of fieldsOf(calculator, values)) {
      if (one.kind !== "number") continue;
      expect(one.start, one.name).toBeGreaterThanOrEqual(one.usual[0]);
      expect(one.start, one.name).toBeLessThanOrEqual(one.usual[1]);
    }
  }
});

test("bands are shown as bands, a figure nobody knows under its own name, a missing one not at all", () => {
  const rows = rowsOf("storage", {
    low_pct_wv: 4.643,
    remaining_pct_wv: 4.802,
    days_to_tolerance: null,
    days_to_tolerance_low: null,
    extrapolated: false,
    new_figure_mm: 1.234,
    source: ["x"],
    cautions: [],
  });
  expect(rows.map((row) => [row.name, row.text])).toEqual([
    ["left", "4.64 to 4.81\u00a0%\u00a0w/v"],
    ["new_figure_mm", "1.23\u00a0mm"],
  ]);
});

test("only the tags that a source bears are explained", () => {
  expect(tagsOf(["Bores: table (found) and minima (memory)", "friction (choice)"])).toEqual([
    "found",
    "memory",
    "choice",
  ]);
  expect(tagsOf(["Definition"])).toEqual([]);
});

test("no stop is named for a position where the needle would bind", () => {
  const figures = { shortest_of_wl_mm: 1.17, stop_mm: 19.5, not_reached_mm: 0, not_reached_ul: 0 };
  const names = (binds: boolean): readonly string[] =>
    rowsOf("needle", { ...figures, binds }).map((row) => row.name);
  expect(names(true)).toEqual(["shortest_of_wl_mm"]);
  expect(names(false)).toContain("stop_mm");
});
