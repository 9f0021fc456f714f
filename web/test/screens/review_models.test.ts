import { describe, expect, test } from "vitest";
import type { Kit, Totals } from "../../src/core/types";
import type { Logged } from "../../src/store/shapes";
import { carriedApical, carriedBeyond } from "../../src/views/screens/review/carried_model";
import {
  accounts,
  changes,
  correctionDraft,
  doubts,
  payloadAt,
  standingPayload,
  voidDraft,
} from "../../src/views/screens/review/correction";
import { restsOn } from "../../src/views/screens/review/rests_on";
import { tableRows } from "../../src/views/screens/review/table_model";
import {
  canalMap,
  letters,
  mapSpan,
  minuteMarks,
} from "../../src/views/screens/review/time_map_model";
import {
  aCanalOf,
  aDelivery,
  anEvent,
  aRecord,
  aSlice,
  aStay,
  E17,
  N3,
  wire,
} from "./record_builder";

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
const MIN = 60_000;

describe("a map of time by depth", () => {
  const record = aRecord({
    opened: { occurred_at_ms: 0 },
    closed_at_ms: 40 * MIN,
    last_clinical_ms: 30 * MIN,
    canals: [aCanalOf()],
    deliveries: [aDelivery({ start_ms: 5 * MIN })],
    slices: [
      aSlice("mb1", 9000, 15_000, [
        aStay(N3, 5 * MIN, 20 * MIN, 7 * MIN),
        aStay(E17, 20 * MIN, null),
      ]),
      aSlice("mb1", 15_000, null, [aStay(N3, 5 * MIN, null)]),
    ],
  });
  const span = mapSpan(record, 99 * MIN);
  const map = canalMap(record, aCanalOf(), ENTRIES, span);

  test("runs from just before the first delivery to the last act, not to the forgotten close", () => {
    expect(span).toEqual({ fromMs: 5 * MIN - 30_000, toMs: 30 * MIN });
  });

  test("holds each contents at its depths, the deepest down to working length", () => {
    expect(
      map.areas.map((one) => [
        one.mark.letter,
        one.fromUm,
        one.toUm,
        one.fromMs / MIN,
        one.toMs / MIN,
      ]),
    ).toEqual([
      ["N", 9000, 15_000, 5, 20],
      ["E", 9000, 15_000, 20, 30],
      ["N", 15_000, 20_000, 5, 30],
    ]);
  });

  test("marks as fresh only the time of the fresh span", () => {
    expect(map.areas[0]?.fresh).toEqual([{ fromMs: 5 * MIN, toMs: 7 * MIN }]);
    expect(map.areas[1]?.fresh).toEqual([]);
  });

  test("gives a letter to what is wide enough to carry one", () => {
    expect(letters(map, 250, 60).map((one) => one.mark.letter)).toEqual(["N", "E"]);
    expect(letters(map, 250, 200)).toEqual([]);
  });

  test("marks whole minutes, about ten of them at most", () => {
    expect(minuteMarks(span).map((at) => at / MIN)).toEqual([5, 10, 15, 20, 25, 30]);
  });
});

describe("what was had against what was asked", () => {
  const poured = (solution: string, irrigant: string, visit: number) => ({
    stage: { visit, steps: [{ solution }] },
    solution: { solution, contents: [{ irrigant }] },
  });
  const here = [poured("n", "sodium_hypochlorite", 1), poured("e", "edta", 1)];
  const later = [poured("c", "chlorhexidine", 2)];
  const kit: Kit = wire({
    protocol: {
      case: { visits: 2 },
      stages: [...here, ...later].map((one) => one.stage),
      solutions: [...here, ...later].map((one) => one.solution),
      asks: [
        { irrigant: "chlorhexidine", visit: null, contact_ms: MIN },
        { irrigant: "edta", visit: 2, contact_ms: 5 * MIN },
        {
          irrigant: "sodium_hypochlorite",
          contact_ms: 20 * MIN,
          last_3mm_ms: 5 * MIN,
          fresh_ms: null,
          activated_ms: 60_000,
          volume_ul: 10_000,
        },
        {
          irrigant: "edta",
          contact_ms: MIN,
          last_3mm_ms: null,
          fresh_ms: null,
          activated_ms: null,
          volume_ul: null,
        },
      ],
    },
  });
  const totals: Totals = wire({
    headlines: [
      {
        site: "mb1",
        irrigant: "sodium_hypochlorite",
        anywhere_ms: 21 * MIN,
        orifice_ms: 21 * MIN,
        last_3mm_least_ms: 4 * MIN,
        last_3mm_mean_ms: 5 * MIN,
        longest_run_ms: 9 * MIN,
        fresh_ms: 0,
        activated_ms: 60_000,
      },
    ],
    volumes: [
      {
        site: "mb1",
        irrigant: "sodium_hypochlorite",
        concentration_mg_per_l: 30_000,
        volume_ul: 4000,
        at_least: true,
        about: false,
        passed_ng: 120_000_000,
      },
      {
        site: "mb1",
        irrigant: "sodium_hypochlorite",
        concentration_mg_per_l: 10_000,
        volume_ul: 1000,
        at_least: false,
        about: true,
        passed_ng: 10_000_000,
      },
    ],
  });
  const record = aRecord({ canals: [aCanalOf()] });
  const rows = tableRows(record, kit, totals);

  test("a target is reached or short by so much, measure by measure", () => {
    expect(rows[0]?.anywhere.against).toEqual({ asked: 20 * MIN, shortBy: 0 });
    expect(rows[0]?.last3mmLeast.against).toEqual({ asked: 5 * MIN, shortBy: MIN });
    expect(rows[0]?.activated.against?.shortBy).toBe(0);
  });

  test("strengths are summed, and one unknown amount makes the sum a least one", () => {
    expect(rows[0]?.volume).toEqual({
      ul: 5000,
      atLeast: true,
      about: true,
      passedNg: 130_000_000,
      against: { asked: 10_000, shortBy: 5000 },
    });
  });

  test("what another visit is asked is not asked of this one", () => {
    expect(rows.map((row) => row.irrigant)).toEqual(["sodium_hypochlorite", "edta"]);
  });

  test("what was asked and never given stands there with nothing", () => {
    expect(rows[1]?.irrigant).toBe("edta");
    expect(rows[1]?.anywhere).toEqual({
      ms: 0,
      carriedMs: null,
      against: { asked: MIN, shortBy: MIN },
    });
  });

  test("an unknown last 3 mm is not known to be short", () => {
    const unknown: Totals = wire({
      ...totals,
      headlines: [{ ...totals.headlines[0], last_3mm_least_ms: null }],
    });
    expect(tableRows(record, kit, unknown)[0]?.last3mmLeast).toEqual({
      ms: null,
      carriedMs: 0,
      against: { asked: 5 * MIN, shortBy: null },
    });
  });

  test("a canal that is left alone is asked nothing", () => {
    const left = aRecord({ canals: [aCanalOf({ state: "left" })] });
    expect(tableRows(left, kit, wire({ headlines: [], volumes: [] }))).toEqual([]);
  });
});

describe("what files may have carried deeper", () => {
  const canal = aCanalOf();
  const given = aSlice("mb1", 9000, 15_000, [aStay(N3, 5 * MIN, 20 * MIN)]);
  const deep = aStay(N3, 8 * MIN, 20 * MIN);
  const record = aRecord({
    opened: { occurred_at_ms: 0 },
    canals: [canal],
    closed_at_ms: 40 * MIN,
    last_clinical_ms: 30 * MIN,
    deliveries: [aDelivery({ start_ms: 5 * MIN })],
    slices: [given, aSlice("mb1", 15_000, 18_000, [aStay(E17, 10 * MIN, 12 * MIN)])],
    carried: [
      given,
      aSlice("mb1", 15_000, 18_000, [aStay(E17, 10 * MIN, 12 * MIN), aStay(N3, 12 * MIN, null)]),
      aSlice("mb1", 18_000, null, [deep]),
    ],
  });

  test("is looked at in the last 3 mm as the measured account is: least and mean by length", () => {
    expect(carriedApical(record, canal, "sodium_hypochlorite", 99 * MIN)).toEqual({
      leastMs: 12 * MIN,
      meanMs: 14 * MIN,
    });
  });

  test("is unknown while the working length is", () => {
    const unknown = aCanalOf({ working_length_um: null });
    expect(carriedApical(record, unknown, "sodium_hypochlorite", 99 * MIN)).toBeNull();
  });

  test("is drawn only where and when nothing was delivered", () => {
    expect(
      carriedBeyond(record, "mb1", 99 * MIN).map((one) => [one.fromUm, one.toUm, one.spans]),
    ).toEqual([
      [15_000, 18_000, [[12 * MIN, 30 * MIN]]],
      [18_000, null, [[8 * MIN, 20 * MIN]]],
    ]);
    const map = canalMap(record, canal, ENTRIES, mapSpan(record, 99 * MIN));
    expect(map.carried.map((one) => [one.mark.letter, one.fromUm, one.toUm])).toEqual([
      ["N", 15_000, 18_000],
      ["N", 18_000, 20_000],
    ]);
  });

  test("a stretch shared with another canal is marked with it", () => {
    const joined = aRecord({ slices: [given, aSlice("mb1", 15_000, null, [], "mb2")] });
    const map = canalMap(joined, canal, ENTRIES, mapSpan(joined, 99 * MIN));
    expect(map.joined).toEqual({ fromUm: 15_000, into: "mb2" });
  });
});

describe("the events behind a figure", () => {
  const n = aDelivery({ id: "n", start_ms: 5 * MIN });
  const chamber = aDelivery({ id: "flood", site: "chamber", start_ms: 6 * MIN });
  const e = aDelivery({ id: "e", contents: E17, start_ms: 20 * MIN });
  const elsewhere = aDelivery({ id: "other", site: "db", start_ms: 7 * MIN });
  const standing = [
    anEvent("canal_set", { id: "length", canal: "mb1", working_length_um: 20_000 }),
    anEvent("irrigant_delivered", { id: "n", site: "mb1", occurred_at_ms: 5 * MIN }),
    anEvent("irrigant_delivered", { id: "flood", site: "chamber", occurred_at_ms: 6 * MIN }),
    anEvent("irrigant_delivered", { id: "other", site: "db", occurred_at_ms: 7 * MIN }),
    anEvent("activation_started", { id: "start", canal: "mb1", occurred_at_ms: 9 * MIN }),
    anEvent("irrigant_delivered", { id: "e", site: "mb1", occurred_at_ms: 20 * MIN }),
    anEvent("irrigant_removed", { id: "points", site: "mb1", occurred_at_ms: 25 * MIN }),
  ];
  const slice = {
    ...aSlice("mb1", 9000, null, [aStay(N3, 5 * MIN, 20 * MIN), aStay(E17, 20 * MIN, 25 * MIN)]),
    active: [[9 * MIN, 10 * MIN]],
  };
  const record = aRecord({ standing, slices: [slice], deliveries: [n, chamber, e, elsewhere] });

  test.each([
    ["anywhere", "sodium_hypochlorite", ["n", "flood", "e"]],
    ["anywhere", "edta", ["e", "points"]],
    ["last_3mm_least", "sodium_hypochlorite", ["length", "n", "flood", "e"]],
    ["activated", "sodium_hypochlorite", ["n", "flood", "start", "e"]],
    ["volume", "sodium_hypochlorite", ["n"]],
  ] as const)("%s of %s rests on %j", (measure, irrigant, expected) => {
    expect(restsOn(record, "mb1", irrigant, measure)).toEqual(expected);
  });
});

describe("corrections", () => {
  const given = wire<Logged>(
    anEvent("irrigant_delivered", {
      id: "d1",
      site: "mb1",
      volume_ul: 1000,
      how: "planned",
      occurred_at_ms: 10,
    }),
  );
  const corrected = wire<Logged>(
    anEvent("entry_corrected", {
      id: "c1",
      entry: "d1",
      replaces: "d1",
      reason: "r",
      payload: { site: "mb1", volume_ul: 1500, how: "read", occurred_at_ms: 10 },
    }),
  );
  const record = aRecord({
    opened: { occurred_at_ms: 5 },
    canals: [aCanalOf()],
    versions: [{ entry: "d1", stands: "c1", voided: false, versions: ["d1", "c1"] }],
  });
  const [account] = accounts([given, corrected], record);
  if (account === undefined) throw new Error("one event is no amendment");

  test("an event stands with its amendments, and the standing payload is the correction's", () => {
    expect(account.stands).toBe("c1");
    expect(standingPayload(account).volume_ul).toBe(1500);
    expect(payloadAt(account, "d1")?.volume_ul).toBe(1000);
  });

  test("both values are named", () => {
    expect(changes(payloadAt(account, "d1") ?? {}, payloadAt(account, "c1") ?? {})).toEqual([
      { field: "volume_ul", was: 1000, now: 1500 },
      { field: "how", was: "planned", now: "read" },
    ]);
  });

  test("a further correction replaces the version that was seen and carries the whole payload", () => {
    const draft = correctionDraft(account, { volume_ul: 2000 }, "Amount was different");
    expect(draft).toMatchObject({
      kind: "entry_corrected",
      entry: "d1",
      replaces: "c1",
      payload: { site: "mb1", volume_ul: 2000, how: "read", occurred_at_ms: 10 },
    });
    expect(voidDraft(account, "Logged twice")).toMatchObject({ replaces: "c1", entry: "d1" });
  });

  test.each([
    [{ volume_ul: 60_000 }, ["large_volume"]],
    [{ volume_ul: 20_000 }, []],
    [{ occurred_at_ms: 1 }, ["before_opening"]],
    [{ occurred_at_ms: 500 }, ["in_the_future"]],
    [{ tip_um: 20_000, site: "mb1" }, ["past_length"]],
  ])("%j raises the doubts %j", (payload, expected) => {
    expect(doubts(payload, record, 100)).toEqual(expected);
  });
});
