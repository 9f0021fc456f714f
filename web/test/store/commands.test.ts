import { afterEach, expect, test, vi } from "vitest";
import { readLine } from "../../src/core/reading";
import { aDevice, note, OTHER_VISIT, VISIT } from "./device_store";

afterEach(() => vi.restoreAllMocks());

test("what is logged is on the disk when the promise is kept, with its envelope filled", async () => {
  const { commands, device, disk } = await aDevice();
  await commands.log(VISIT, note("a"));
  const [line] = await disk.allOf<{ line: string }>("outbox");
  expect(readLine(line?.line ?? "")).toMatchObject({
    kind: "note_added",
    visit: VISIT,
    device: device.device.value,
    device_seq: 1,
    staff: "assistant-1",
    clock_error_ms: null,
    dated_by_hand: false,
  });
});

test("the events of one tap are numbered in a row and stand together", async () => {
  const { commands, disk } = await aDevice();
  await commands.log(VISIT, note("a"), note("b"), note("c"));
  await commands.log(OTHER_VISIT, note("d"));
  const lines = await disk.allOf<{ device_seq: number; line: string }>("outbox");
  expect(lines.map((line) => line.device_seq)).toEqual([1, 2, 3, 4]);
  const times = lines.slice(0, 3).map((line) => readLine(line.line).occurred_at_ms);
  expect(new Set(times).size).toBe(1);
});

test("numbers stay consecutive when many taps are saved at once", async () => {
  const { commands, disk } = await aDevice();
  await Promise.all(Array.from({ length: 20 }, (_, at) => commands.log(VISIT, note(String(at)))));
  const lines = await disk.allOf<{ device_seq: number }>("outbox");
  expect(lines.map((line) => line.device_seq)).toEqual(
    Array.from({ length: 20 }, (_, at) => at + 1),
  );
});

test("one bad event of a tap keeps all of it out, and numbers are not used up", async () => {
  const { commands, disk, unsaved } = await aDevice();
  await expect(commands.log(VISIT, note("good"), note("half \ud83d"))).rejects.toMatchObject({
    name: "NotReadable",
  });
  expect(await disk.allOf("outbox")).toEqual([]);
  expect(unsaved.unsaved.value).toEqual([]);
  const [kept] = await commands.log(VISIT, note("good"));
  expect(kept?.device_seq).toBe(1);
});

test("U+0000 and lines over 16 kB are refused before they are said to be saved", async () => {
  const { commands } = await aDevice();
  await expect(commands.log(VISIT, note("a\u0000b"))).rejects.toMatchObject({
    name: "NotReadable",
  });
  await expect(
    commands.log(VISIT, note("é".repeat(4000)), note("€".repeat(4000))),
  ).resolves.toHaveLength(2);
  const payload = Object.fromEntries(
    Array.from({ length: 9 }, (_, at) => [`f${at}`, "x".repeat(2000)]),
  );
  const long = {
    kind: "entry_corrected",
    entry: "e",
    replaces: "e",
    reason: "r",
    payload,
  } as const;
  await expect(commands.log(VISIT, long)).rejects.toMatchObject({ name: "NotReadable" });
});

test("nobody at the device, nothing logged", async () => {
  const { commands, disk } = await aDevice(null);
  await expect(commands.log(VISIT, note("a"))).rejects.toMatchObject({ name: "NobodyHere" });
  expect(await disk.allOf("outbox")).toEqual([]);
});

test("entries never run backwards while the clock has a bound", async () => {
  const { commands, now } = await aDevice();
  const set = (offsetMs: number, errorMs: number) =>
    now.setClock({ offsetMs, errorMs, readAtWallMs: Date.now(), readAtPageMs: performance.now() });
  set(60_000, 900);
  const [first] = await commands.log(VISIT, note("a"));
  set(59_000, 5);
  const [second] = await commands.log(VISIT, note("b"));
  expect(second?.occurred_at_ms).toBe(first?.occurred_at_ms);
});

test("a clock that was a day wrong before it was set does not hold later entries there", async () => {
  const { commands, now } = await aDevice();
  const [first] = await commands.log(VISIT, note("a"));
  now.setClock({
    offsetMs: -86_400_000,
    errorMs: 20,
    readAtWallMs: Date.now(),
    readAtPageMs: performance.now(),
  });
  const [second] = await commands.log(VISIT, note("b"));
  expect(second?.occurred_at_ms).toBeLessThan((first?.occurred_at_ms ?? 0) - 86_000_000);
  expect(second?.device_seq).toBe(2);
});

test("an entry dated by hand keeps its time and moves no other", async () => {
  const { commands } = await aDevice();
  const byHand = { ...note("a"), occurred_at_ms: 4_000_000_000_000 as never, dated_by_hand: true };
  const [dated] = await commands.log(VISIT, byHand);
  const [next] = await commands.log(VISIT, note("b"));
  expect(dated?.occurred_at_ms).toBe(4_000_000_000_000);
  expect(next?.occurred_at_ms).toBeLessThan(2_000_000_000_000);
});

test("a store that refuses is said to have refused, and saving again keeps the time of the tap", async () => {
  const { commands, disk, unsaved } = await aDevice();
  const add = vi.spyOn(IDBObjectStore.prototype, "add").mockImplementation(() => {
    throw new DOMException("full", "QuotaExceededError");
  });
  const before = Date.now();
  await expect(commands.log(VISIT, note("a"))).rejects.toMatchObject({ name: "DiskFailed" });
  expect(unsaved.unsaved.value).toHaveLength(1);
  expect(await disk.allOf("outbox")).toEqual([]);
  await new Promise((resolve) => setTimeout(resolve, 30));
  add.mockRestore();
  await unsaved.saveAgain();
  const [line] = await disk.allOf<{ line: string }>("outbox");
  expect(readLine(line?.line ?? "").occurred_at_ms).toBeLessThan(before + 30);
  expect(unsaved.unsaved.value).toEqual([]);
});

test("a form that could not be saved stays with whoever filled it", async () => {
  const { commands, unsaved } = await aDevice();
  const add = vi.spyOn(IDBObjectStore.prototype, "add").mockImplementation(() => {
    throw new DOMException("full", "QuotaExceededError");
  });
  await expect(commands.logForm(VISIT, note("a"))).rejects.toMatchObject({ name: "DiskFailed" });
  add.mockRestore();
  expect(unsaved.unsaved.value).toEqual([]);
});

test("a handle that died in the background is opened anew, and the tap is saved", async () => {
  const { commands, disk } = await aDevice();
  await commands.log(VISIT, note("a"));
  const once = vi.spyOn(IDBDatabase.prototype, "transaction").mockImplementationOnce(() => {
    throw new DOMException("closing", "InvalidStateError");
  });
  await commands.log(VISIT, note("b"));
  expect(once).toHaveBeenCalled();
  once.mockRestore();
  expect(await disk.allOf("outbox")).toHaveLength(2);
});

test("two equal entries close together are two entries", async () => {
  const { commands, outbox } = await aDevice();
  await commands.log(VISIT, note("a"));
  await commands.log(VISIT, note("a"));
  expect(outbox.outbox.value).toHaveLength(2);
  expect(new Set(outbox.outbox.value.map((one) => one.waiting.id)).size).toBe(2);
});

test("what was logged before the outbox was read from the disk is not lost by reading it", async () => {
  const { commands, outbox } = await aDevice();
  const [logged] = await Promise.all([commands.log(VISIT, note("a")), outbox.loadOutbox()]);
  await outbox.loadOutbox();
  expect(outbox.outbox.value.map((one) => one.event.id)).toEqual(logged?.map((one) => one.id));
});

test("reading the outbox while taps are saved and settled neither loses nor brings back a line", async () => {
  const { commands, outbox } = await aDevice();
  const [settled] = await commands.log(VISIT, note("settled"));
  const reading = outbox.loadOutbox();
  outbox.dropSettled(new Set([settled?.id ?? ""]));
  const [late] = await commands.log(VISIT, note("late"));
  await reading;
  expect(outbox.outbox.value.map((one) => one.event.id)).toEqual([late?.id]);
});
