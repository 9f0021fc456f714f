import { afterEach, expect, test, vi } from "vitest";
import type { Waiting } from "../../src/store/shapes";
import { aDevice, note, OTHER_VISIT, VISIT } from "../store/device_store";

afterEach(() => vi.unstubAllGlobals());

interface Posted {
  readonly visit: string;
  readonly lines: readonly string[];
}

/** A server that answers each batch as told; it remembers what it was sent. */
function aServer(answer: (posted: Posted, nth: number) => Response | Promise<Response>) {
  const posted: Posted[] = [];
  vi.stubGlobal("fetch", async (path: string, init: RequestInit) => {
    const visit = decodeURIComponent(/visits\/([^/]+)\/events/.exec(path)?.[1] ?? "");
    const one = { visit, lines: String(init.body).trimEnd().split("\n") };
    posted.push(one);
    return answer(one, posted.length);
  });
  return posted;
}

const json = (body: unknown, status = 200): Response =>
  new Response(JSON.stringify(body), { status, headers: { "content-type": "application/json" } });

const idOf = (line: string): string => (JSON.parse(line) as { id: string }).id;

/** The answer of a server that records everything. */
function recorded({ visit, lines }: Posted, from = 1): Response {
  const answers = lines.map((line, at) => ({
    line: at + 1,
    id: idOf(line),
    answer: "recorded",
    seq: from + at,
    code: null,
    message: null,
    found: null,
    expected: null,
    where: null,
  })); // prettier-ignore
  return json({ visit, head: { seq: from + lines.length - 1, digest: "d" }, answers });
}

async function aSender() {
  const device = await aDevice();
  const { sendAll, batchOf, settledBy } = await import("../../src/sync/outbox");
  return { ...device, sendAll, batchOf, settledBy };
}

test("what the server names as recorded leaves the outbox and is kept as sent", async () => {
  const { commands, outbox, disk, sendAll } = await aSender();
  await commands.log(VISIT, note("a"), note("b"));
  const posted = aServer((one) => recorded(one));
  expect(await sendAll()).toBe(2);
  expect(posted).toHaveLength(1);
  expect(outbox.outbox.value).toEqual([]);
  expect(await disk.allOf("outbox")).toEqual([]);
  expect(await disk.allOf("sent")).toHaveLength(2);
});

test("an answer that was lost is asked for again with the same bytes", async () => {
  const { commands, outbox, sendAll } = await aSender();
  await commands.log(VISIT, note("a"));
  const posted = aServer((one, nth) => {
    if (nth === 1) throw new TypeError("connection reset");
    return recorded(one);
  });
  await expect(sendAll()).rejects.toMatchObject({ name: "NotConnected" });
  expect(outbox.outbox.value).toHaveLength(1);
  await sendAll();
  expect(posted[1]?.lines).toEqual(posted[0]?.lines);
  expect(outbox.outbox.value).toEqual([]);
});

test.each([
  ["a portal's page", () => new Response("<html>", { headers: { "content-type": "text/html" } })],
  ["an empty answer", () => new Response(null, { status: 204 })],
  [
    "a page called JSON",
    () => new Response("<html>", { headers: { "content-type": "application/json" } }),
  ],
])("%s is no acknowledgement", async (_what, answer) => {
  const { commands, outbox, sendAll } = await aSender();
  await commands.log(VISIT, note("a"));
  aServer(answer);
  await expect(sendAll()).rejects.toMatchObject({ name: "NotConnected" });
  expect(outbox.outbox.value).toHaveLength(1);
});

test.each([
  ["no answers at all", { visit: VISIT }],
  ["another visit", { visit: OTHER_VISIT, answers: [] }],
  [
    "another identity",
    { visit: VISIT, answers: [{ line: 1, id: "x", answer: "recorded", seq: 1 }] },
  ],
  ["no identity", { visit: VISIT, answers: [{ line: 1, id: null, answer: "recorded", seq: 1 }] }],
  ["a word of its own", { visit: VISIT, answers: [{ line: 1, id: null, answer: "fine" }] }],
])("an answer with %s settles nothing", async (_what, body) => {
  const { commands, outbox, sendAll } = await aSender();
  await commands.log(VISIT, note("a"));
  aServer(() => json(body));
  expect(await sendAll()).toBe(0);
  expect(outbox.outbox.value).toHaveLength(1);
});

test("a refused line goes to the tray with what was found and expected, and blocks nothing", async () => {
  const { commands, outbox, sendAll } = await aSender();
  await commands.log(VISIT, note("bad"), note("good"));
  aServer(({ visit, lines }) =>
    json({
      visit,
      head: { seq: 1, digest: "d" },
      answers: [
        {
          line: 1,
          id: idOf(lines[0] ?? ""),
          answer: "refused",
          seq: null,
          code: "staff_unknown",
          message: "no such staff",
          found: "assistant-1",
          expected: ["dentist-1"],
          where: "$.staff",
        },
        {
          line: 2,
          id: idOf(lines[1] ?? ""),
          answer: "recorded",
          seq: 1,
          code: null,
          message: null,
          found: null,
          expected: null,
          where: null,
        },
      ],
    }),
  ); // prettier-ignore
  expect(await sendAll()).toBe(2);
  expect(outbox.outbox.value).toEqual([]);
  expect(outbox.tray.value).toMatchObject([
    {
      code: "staff_unknown",
      found: "assistant-1",
      expected: '["dentist-1"]',
      where: "$.staff",
      read: false,
    },
  ]);
  await outbox.markRead(outbox.tray.value[0]?.id ?? "");
  expect(outbox.unreadRefusals.value).toBe(0);
  expect(outbox.tray.value).toHaveLength(1);
});

test("a visit that the server does not take waits by itself", async () => {
  const { commands, outbox, sendAll } = await aSender();
  await commands.log(VISIT, note("stuck"));
  await commands.log(OTHER_VISIT, note("flows"));
  aServer((one) => (one.visit === VISIT ? json({ title: "bad visit id" }, 400) : recorded(one)));
  await sendAll();
  expect(outbox.outbox.value.map((one) => one.event.visit)).toEqual([VISIT]);
});

test("a batch that is too large is halved until it is taken, in order", async () => {
  const { commands, outbox, sendAll } = await aSender();
  await commands.log(VISIT, ...Array.from({ length: 8 }, (_, at) => note(String(at))));
  let seq = 1;
  const posted = aServer((one) => {
    if (one.lines.length > 3) return json({ title: "too large" }, 413);
    const answer = recorded(one, seq);
    seq += one.lines.length;
    return answer;
  });
  await sendAll();
  expect(outbox.outbox.value).toEqual([]);
  const taken = posted.filter((one) => one.lines.length <= 3).flatMap((one) => one.lines);
  expect(taken.map((line) => (JSON.parse(line) as { device_seq: number }).device_seq)).toEqual([
    1, 2, 3, 4, 5, 6, 7, 8,
  ]);
});

test("a batch holds one visit, at most 500 lines and a megabyte", async () => {
  const { batchOf } = await aSender();
  const line = (at: number, visit: string, size = 10): Waiting => ({
    device_seq: at,
    id: String(at),
    visit,
    line: "x".repeat(size),
  });
  const many = Array.from({ length: 700 }, (_, at) => line(at, at % 2 === 0 ? "a" : "b"));
  expect(batchOf(many, new Set())).toHaveLength(350);
  expect(batchOf(many, new Set(["a"])).every((one) => one.visit === "b")).toBe(true);
  const single = Array.from({ length: 700 }, (_, at) => line(at, "a"));
  expect(batchOf(single, new Set())).toHaveLength(500);
  const heavy = Array.from({ length: 100 }, (_, at) => line(at, "a", 16_000));
  expect(batchOf(heavy, new Set())).toHaveLength(62);
});

test("a restored ledger is offered again what this device has sent", async () => {
  const { commands, outbox, disk, sendAll } = await aSender();
  await commands.log(VISIT, note("a"), note("b"));
  const posted = aServer((one) => recorded(one));
  await sendAll();
  await outbox.offerAgain();
  expect(outbox.outbox.value).toHaveLength(2);
  await sendAll();
  expect(posted[1]?.lines).toEqual(posted[0]?.lines);
  expect(await disk.allOf("sent")).toHaveLength(2);
});

test("an entry keeps the name it was logged under, whoever is here when it is sent", async () => {
  const { commands, device, sendAll } = await aSender();
  await commands.log(VISIT, note("a"));
  await device.takeDevice("dentist-1");
  const posted = aServer((one) => recorded(one));
  await sendAll();
  expect(JSON.parse(posted[0]?.lines[0] ?? "")).toMatchObject({ staff: "assistant-1" });
});
