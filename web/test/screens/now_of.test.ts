import { expect, test } from "vitest";
import type { Kit, VisitRecord } from "../../src/core/types";
import { canalsNow } from "../../src/views/screens/chair/now_of";
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

const kitWith = (limits: object[]): Kit => wire({ format: 1, protocol: { limits }, catalogue: {} });

function theCanal(record: VisitRecord, nowMs: number, kit: Kit | null = null) {
  const [canal] = canalsNow(record, kit, new Map(), nowMs);
  if (canal === undefined) throw new Error("the record has one canal");
  return canal;
}

test("equal neighbours are one band, and what has ended is not shown", () => {
  const record = aRecord({
    canals: [aCanalOf()],
    slices: [
      aSlice("mb1", 9000, 12_000, [aStay(N3, 0, 5000), aStay(E17, 5000, null)]),
      aSlice("mb1", 12_000, 18_000, [aStay(E17, 5000, null)]),
      aSlice("mb1", 18_000, null, [aStay(N3, 0, null)]),
    ],
  });
  expect(theCanal(record, 9000).bands).toEqual([
    { fromUm: 9000, toUm: 18_000, contents: E17 },
    { fromUm: 18_000, toUm: 20_000, contents: N3 },
  ]);
});

test("reached is how far the latest delivery went, not what lies deeper from before", () => {
  const record = aRecord({
    canals: [aCanalOf()],
    slices: [
      aSlice("mb1", 9000, 17_000, [aStay(N3, 0, null, 70_000)]),
      aSlice("mb1", 17_000, null, [aStay(N3, 0, null, 30_000)]),
    ],
    deliveries: [aDelivery({ tip_um: 16_000 })],
  });
  const canal = theCanal(record, 15_000);
  expect(canal.reachedToUm).toBe(17_000);
  expect(canal.tipUm).toBe(16_000);
});

test("a timer runs from the delivery it names; an activation meanwhile does not end what was asked", () => {
  const given = anEvent("irrigant_delivered", { site: "mb1", occurred_at_ms: 10_000 });
  const started = anEvent("activation_started", { canal: "mb1", occurred_at_ms: 20_000 });
  const timer = {
    id: "t",
    canal: "mb1",
    step: "chelate",
    cycle: 1,
    runs_from: given.id,
    due_at_ms: 70_000,
    upper_limit: false,
    state: "acknowledged",
    by: started.id,
  };
  const record = aRecord({
    canals: [aCanalOf()],
    slices: [aSlice("mb1", 9000, null, [aStay(E17, 0, null, 70_000)])],
    standing: [given, started],
    timers: [timer],
  });
  expect(theCanal(record, 30_000).running).toEqual({
    fromMs: 10_000,
    dueAtMs: 70_000,
    limitAtMs: null,
  });
});

test("a rinse ends what was asked, and the new contact counts up from its own start", () => {
  const given = anEvent("irrigant_delivered", { site: "mb1", occurred_at_ms: 10_000 });
  const rinse = anEvent("irrigant_delivered", { site: "mb1", occurred_at_ms: 40_000 });
  const timer = {
    id: "t",
    canal: "mb1",
    step: "chelate",
    cycle: 1,
    runs_from: given.id,
    due_at_ms: 70_000,
    upper_limit: false,
    state: "acknowledged",
    by: rinse.id,
  };
  const record = aRecord({
    canals: [aCanalOf()],
    slices: [aSlice("mb1", 9000, null, [aStay(E17, 0, 30_000), aStay(N3, 30_000, null, 160_000)])],
    standing: [given, rinse],
    timers: [timer],
  });
  expect(theCanal(record, 50_000).running).toEqual({
    fromMs: 30_000,
    dueAtMs: null,
    limitAtMs: null,
  });
});

test("the clinic's limit counts from the beginning of the unbroken contact", () => {
  const record = aRecord({
    canals: [aCanalOf()],
    slices: [aSlice("mb1", 9000, null, [aStay(E17, 5000, null, 70_000)])],
  });
  const kit = kitWith([{ irrigant: "edta", longest_run_ms: 180_000 }]);
  expect(theCanal(record, 50_000, kit).running?.limitAtMs).toBe(185_000);
});

test("points last: dry; a delivery after them: not", () => {
  const points = anEvent("irrigant_removed", { site: "mb1", by: "points" });
  const given = anEvent("irrigant_delivered", { site: "mb1" });
  expect(theCanal(aRecord({ canals: [aCanalOf()], standing: [points] }), 0).dried).toBe(true);
  expect(theCanal(aRecord({ canals: [aCanalOf()], standing: [points, given] }), 0).dried).toBe(
    false,
  );
});

test("an activation that nothing stopped runs against its own timer", () => {
  const activation = {
    canal: "mb1",
    activation: "ultrasonic",
    from_um: 9000,
    to_um: 20_000,
    start_ms: 4000,
    end_ms: null,
    started: "a1",
    stopped: null,
  };
  const timer = {
    id: "t",
    canal: "mb1",
    step: "agitate",
    cycle: 1,
    runs_from: "a1",
    due_at_ms: 24_000,
    upper_limit: false,
    state: "running",
    by: null,
  };
  const record = aRecord({ canals: [aCanalOf()], activations: [activation], timers: [timer] });
  expect(theCanal(record, 9000).activation).toEqual({ fromMs: 4000, forMs: 20_000 });
});
