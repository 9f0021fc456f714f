import { expect, test, vi } from "vitest";
import { aDevice, VISIT } from "./device_store";

/** A visit on this device with one timer that comes due after a while. */
async function aVisitWithTimer(dueInMs: number) {
  const device = await aDevice();
  const { bringCore } = await import("../../src/store/core");
  const due = await import("../../src/store/due");
  await bringCore();
  const startMs = Date.now();
  const runsFrom = device.commands.newId();
  device.visits.watch(VISIT);
  await device.commands.log(
    VISIT,
    {
      kind: "visit_opened",
      course: "c",
      tooth: "11",
      label: "A",
      room: "r",
      kit: "a".repeat(64),
      canals: ["b"],
      present_at_start: [],
      training: false,
    },
    {
      kind: "irrigant_delivered",
      id: runsFrom,
      site: "b",
      contents: [{ irrigant: "edta", concentration_mg_per_l: null }],
      how: "planned",
      guard_shown: [],
    },
    {
      kind: "timer_set",
      timer: { canal: "b", step: "chelator", cycle: 1 },
      runs_from: runsFrom,
      due_at_ms: (startMs + dueInMs) as never,
      upper_limit: false,
    },
  ); // prettier-ignore
  device.now.tick();
  return { ...device, due, dueAtMs: startMs + dueInMs };
}

test("a timer is due at its instant and not a moment before, and rings once", async () => {
  const { due, now, dueAtMs } = await aVisitWithTimer(400);
  const rung: { late: boolean; atMs: number }[] = [];
  const stop = due.onDue((_one, late) => rung.push({ late, atMs: Date.now() }));
  expect(due.due.value).toEqual([]);
  expect(due.nextDueMs.value).toBe(dueAtMs);
  await vi.waitFor(() => expect(rung).toHaveLength(1), { timeout: 2000, interval: 5 });
  expect(rung[0]?.late).toBe(false);
  expect(rung[0]?.atMs).toBeGreaterThanOrEqual(dueAtMs);
  expect(rung[0]?.atMs).toBeLessThan(dueAtMs + 100);
  now.tick();
  now.tick();
  expect(rung).toHaveLength(1);
  expect(due.due.value).toHaveLength(1);
  stop();
});

test("a timer first seen long after its instant is shown, not sounded", async () => {
  const { due } = await aVisitWithTimer(-121_000);
  const late: boolean[] = [];
  due.onDue((_one, isLate) => late.push(isLate))();
  expect(late).toEqual([true]);
});

test("an acknowledged timer is no longer due", async () => {
  const { due, commands, now, dueAtMs } = await aVisitWithTimer(-1000);
  expect(due.due.value).toHaveLength(1);
  await commands.log(VISIT, {
    kind: "timer_acknowledged",
    timer: { canal: "b", step: "chelator", cycle: 1 },
    due_at_ms: dueAtMs as never,
  });
  now.tick();
  expect(due.due.value).toEqual([]);
});

test("a wait longer than browsers can count does not end at once", async () => {
  const { now } = await aDevice();
  const woken: number[] = [];
  const callOff = now.wakeAt(Date.now() + 2_419_200_000, () => woken.push(1));
  await new Promise((resolve) => setTimeout(resolve, 50));
  expect(woken).toEqual([]);
  callOff();
});
