import { describe, expect, test } from "vitest";
import { toothPicture } from "../../src/views/canal/geometry";
import { type CanalNow, columnView } from "../../src/views/screens/chair/column_model";

const ENTRIES = [
  {
    irrigant: "sodium_hypochlorite",
    title: "Sodium hypochlorite",
    letter: "N",
    pattern: "diagonal",
    hue: "#0072b2",
  },
  { irrigant: "edta", title: "EDTA", letter: "E", pattern: "dots", hue: "#e69f00" },
];
const N3 = [{ irrigant: "sodium_hypochlorite", concentration_mg_per_l: 30_000 }];
const E17 = [{ irrigant: "edta", concentration_mg_per_l: 170_000 }];

function aCanal(change: Partial<CanalNow> = {}): CanalNow {
  return {
    canal: "mb1",
    name: null,
    state: "length_set",
    orificeUm: 9000,
    workingLengthUm: 20_000,
    apicalSize: 30,
    taperUmPerMm: 60,
    knownToUm: 20_000,
    bands: [],
    reachedToUm: null,
    tipUm: null,
    running: null,
    activation: null,
    dried: false,
    joins: null,
    stepsLeft: null,
    ...change,
  };
}

function viewOf(canal: CanalNow, nowMs = 0) {
  const picture = toothPicture([canal], { width: 100, height: 400 });
  const placed = picture.canals[0];
  if (placed === undefined) throw new Error("one canal was asked for");
  return { picture, view: columnView(canal, placed, picture, ENTRIES, nowMs) };
}

describe("what stands in a canal", () => {
  test("20 mm of length fill 400 px, so the orifice at 9 mm stands at 180 px", () => {
    const { view } = viewOf(aCanal());
    expect(view.placed.orificeY).toBeCloseTo(180, 9);
    expect(view.placed.endY).toBeCloseTo(400, 9);
  });

  test("contents from 9 to 18 mm over others from 18 to 20 mm are two fills that meet at 360 px", () => {
    const canal = aCanal({
      bands: [
        { fromUm: 9000, toUm: 18_000, contents: E17 },
        { fromUm: 18_000, toUm: 20_000, contents: N3 },
      ],
    });
    const { view } = viewOf(canal);
    expect(view.fills.map((fill) => [fill.y, fill.height, fill.mark.letter])).toEqual([
      [180, 180, "E"],
      [360, 40, "N"],
    ]);
    expect(view.letter?.mark.short).toBe("E 17\u00a0%");
  });

  test("what lies above the orifice as drawn takes no place in the canal", () => {
    const canal = aCanal({ bands: [{ fromUm: 0, toUm: 9000, contents: N3 }] });
    expect(viewOf(canal).view.fills).toEqual([]);
  });

  test("a tip at 17 mm with a reach of 1 mm leaves the last 2 mm hatched", () => {
    const canal = aCanal({
      bands: [{ fromUm: 9000, toUm: 18_000, contents: N3 }],
      reachedToUm: 18_000,
      tipUm: 17_000,
    });
    const { view } = viewOf(canal);
    expect(view.unreached).toEqual({ y: 360, height: 40, lastUm: 2000 });
    expect(view.tip?.y).toBe(340);
  });

  test("with an unknown working length nothing is called unreached and the end is drawn as assumed", () => {
    const canal = aCanal({
      workingLengthUm: null,
      bands: [{ fromUm: 9000, toUm: 12_000, contents: N3 }],
      reachedToUm: 12_000,
    });
    const { view } = viewOf(canal);
    expect(view.unreached).toBeNull();
    expect(view.placed.endAssumed).toBe(true);
  });
});

describe("the level and the clock", () => {
  const filled = { bands: [{ fromUm: 9000, toUm: 20_000, contents: E17 }], reachedToUm: 20_000 };

  test("half of the asked minute gone: the level stands half way down and 0:30 is left", () => {
    const running = { fromMs: 1000, dueAtMs: 61_000, limitAtMs: null };
    const { view } = viewOf(aCanal({ ...filled, running }), 31_000);
    expect(view.levelY).toBeCloseTo(180 + 110, 9);
    expect(view.clock).toEqual({ kind: "left", text: "0:30" });
  });

  test.each([
    [0, "1:00"],
    [10, "1:00"],
    [990, "1:00"],
    [1010, "0:59"],
    [58_990, "0:02"],
    [59_010, "0:01"],
    [59_990, "0:01"],
  ])("a minute with %i ms gone shows %s", (goneMs, shown) => {
    const running = { fromMs: 0, dueAtMs: 60_000, limitAtMs: null };
    expect(viewOf(aCanal({ ...filled, running }), goneMs).view.clock).toEqual({
      kind: "left",
      text: shown,
    });
  });

  test("at the due instant it is reached, and from there it counts what has passed", () => {
    const running = { fromMs: 0, dueAtMs: 60_000, limitAtMs: null };
    const at = (nowMs: number) => viewOf(aCanal({ ...filled, running }), nowMs).view.clock;
    expect(at(60_000)).toEqual({ kind: "reached", text: "0:00" });
    expect(at(72_400)).toEqual({ kind: "reached", text: "0:12" });
  });

  test("past the clinic's limit the clock says so and by how much", () => {
    const running = { fromMs: 0, dueAtMs: 60_000, limitAtMs: 180_000 };
    expect(viewOf(aCanal({ ...filled, running }), 200_000).view.clock).toEqual({
      kind: "over_limit",
      text: "0:20",
    });
  });

  test("a contact nobody asked a time of counts up under a full level", () => {
    const running = { fromMs: 0, dueAtMs: null, limitAtMs: null };
    const { view } = viewOf(aCanal({ ...filled, running }), 130_000);
    expect(view.clock).toEqual({ kind: "in", text: "2:10" });
    expect(view.levelY).toBe(180);
  });

  test("a dried canal says dry, one that never had anything says empty", () => {
    expect(viewOf(aCanal({ dried: true })).view.clock.kind).toBe("dry");
    expect(viewOf(aCanal()).view.clock.kind).toBe("empty");
  });

  test("an activation counts down what its step asks, then up", () => {
    const activation = { fromMs: 0, forMs: 20_000 };
    expect(viewOf(aCanal({ ...filled, activation }), 8000).view.activation).toEqual({
      text: "0:12",
      countsDown: true,
    });
    expect(viewOf(aCanal({ ...filled, activation }), 25_000).view.activation).toEqual({
      text: "0:05",
      countsDown: false,
    });
  });
});
