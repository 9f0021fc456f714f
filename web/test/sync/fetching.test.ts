import { afterEach, expect, test, vi } from "vitest";
import { aDevice, note, VISIT } from "../store/device_store";

afterEach(() => vi.unstubAllGlobals());

const json = (body: unknown): Response =>
  new Response(JSON.stringify(body), { headers: { "content-type": "application/json" } });

function entry(seq: number) {
  const event = {
    id: `e${seq}`,
    kind: "note_added",
    visit: VISIT,
    device: "d",
    device_seq: seq,
    staff: "s",
    occurred_at_ms: seq,
    device_clock_ms: seq,
    clock_error_ms: 1,
    dated_by_hand: false,
    text: String(seq),
  }; // prettier-ignore
  return { seq, recorded_at_ms: seq, prev: "", digest: `d${seq}`, line_digest: "", event };
}

/** A server with so many entries of the visit that gives three at a time. */
function aServerWith(last: number) {
  const asked: string[] = [];
  vi.stubGlobal("fetch", async (path: string) => {
    asked.push(path);
    const after = Number(/after=(\d+)/.exec(path)?.[1]);
    const entries = [1, 2, 3].map((more) => entry(after + more)).filter((one) => one.seq <= last);
    return json({ visit: VISIT, head: { seq: last, digest: `d${last}` }, entries });
  });
  return asked;
}

test("entries are read on after the cursor until the head is reached", async () => {
  const { visits } = await aDevice();
  const { fetchEntries } = await import("../../src/sync/fetching");
  aServerWith(8);
  await fetchEntries(VISIT);
  expect(visits.eventsOf(VISIT).value.entries.map((one) => one.seq)).toEqual([
    1, 2, 3, 4, 5, 6, 7, 8,
  ]);
  expect(visits.eventsOf(VISIT).value.head).toEqual({ seq: 8, digest: "d8" });
});

test("a second reading asks only for what is new, and everything is known once", async () => {
  const { visits } = await aDevice();
  const { fetchEntries } = await import("../../src/sync/fetching");
  aServerWith(2);
  await fetchEntries(VISIT);
  const asked = aServerWith(4);
  await Promise.all([fetchEntries(VISIT), fetchEntries(VISIT)]);
  expect(asked[0]).toContain("after=2");
  expect(visits.eventsOf(VISIT).value.entries.map((one) => one.seq)).toEqual([1, 2, 3, 4]);
});

test("an own entry that the server tells of is no longer pending, and counts once", async () => {
  const { visits, commands } = await aDevice();
  const { fetchEntries } = await import("../../src/sync/fetching");
  const { bringCore } = await import("../../src/store/core");
  await bringCore();
  const [own] = await commands.log(VISIT, note("mine"));
  expect(visits.eventsOf(VISIT).value.pending).toHaveLength(1);
  vi.stubGlobal("fetch", async () =>
    json({ visit: VISIT, head: { seq: 1, digest: "d1" }, entries: [{ ...entry(1), event: own }] }),
  );
  await fetchEntries(VISIT);
  const { pending, heard } = visits.eventsOf(VISIT).value;
  expect(pending).toEqual([]);
  expect(heard).toHaveLength(1);
});

test("entries survive a reload of the page", async () => {
  const { visits, disk } = await aDevice();
  const { fetchEntries } = await import("../../src/sync/fetching");
  aServerWith(3);
  await fetchEntries(VISIT);
  expect(await disk.allOf("entries")).toHaveLength(3);
  expect(await visits.cursorOf(VISIT)).toBe(3);
});

test("another epoch is another ledger: what was read is forgotten, what was sent is offered again", async () => {
  const { visits, commands, outbox, disk } = await aDevice();
  const { fetchClinic, fetchEntries } = await import("../../src/sync/fetching");
  const answers: { [path: string]: unknown } = {
    "/api/clinic": {
      clinic: "c",
      title: "C",
      zone: "UTC",
      epoch: "",
      rooms: [],
      staff: [],
      notation_default: "iso3950",
    },
    "/api/protocols": [],
    "/api/kits": [],
  }; // prettier-ignore
  const aLedger = (epoch: string) =>
    vi.stubGlobal("fetch", async (path: string) =>
      json(answers[path] ?? { status: "ok", version: "1", epoch, fold_version: 1 }),
    );
  aLedger("first");
  expect(await fetchClinic()).toBe(false);
  const [own] = await commands.log(VISIT, note("a"));
  aServerWith(2);
  await fetchEntries(VISIT);
  await outbox.settleRecorded(
    outbox.outbox.value.map((one) => one.waiting),
    1,
  );
  outbox.dropSettled(new Set([own?.id ?? ""]));
  aLedger("first");
  expect(await fetchClinic()).toBe(false);
  expect(await visits.cursorOf(VISIT)).toBe(2);
  aLedger("restored");
  expect(await fetchClinic()).toBe(true);
  expect(outbox.outbox.value.map((one) => one.event.id)).toEqual([own?.id]);
  expect(await disk.allOf("entries")).toEqual([]);
  expect(await visits.cursorOf(VISIT)).toBe(0);
});
