import { describe, expect, test } from "vitest";
import { NotReadable, readAs, readHeard, readKit, readLine } from "../../src/core/reading.ts";
import { aKit } from "./builders.ts";

const note = {
  id: "n1",
  kind: "note_added",
  visit: "v",
  device: "p",
  device_seq: 3,
  staff: "s",
  occurred_at_ms: 5,
  device_clock_ms: 6,
  text: "dry",
};
const line = (change: object): string => JSON.stringify({ ...note, ...change });

describe("a line", () => {
  test("reads as its event, what is left out filled by its default", () => {
    expect(readLine(line({}))).toEqual({ ...note, clock_error_ms: null, dated_by_hand: false });
  });

  test("may carry keys that this version does not know, which are left unread", () => {
    expect(readLine(line({ mood: "good" }))).not.toHaveProperty("mood");
  });

  test("of a kind that nobody knows is kept as unread, under the name of its kind", () => {
    const heard = readLine(line({ kind: "irrigant_warmed", heat: 3 }));
    expect(heard).toMatchObject({ kind: "unread", unread_kind: "irrigant_warmed", id: "n1" });
    expect(heard).not.toHaveProperty("heat");
  });

  test("of an unknown kind must have a whole envelope still", () => {
    expect(() => readLine(line({ kind: "irrigant_warmed", device: "" }))).toThrow(NotReadable);
  });

  const refused: readonly (readonly [string, object, RegExp])[] = [
    ["half a number", { occurred_at_ms: 1.5 }, /at \$\.occurred_at_ms: expected a whole number/],
    ["a number below nothing", { device_seq: -1 }, /at \$\.device_seq/],
    ["a number beyond what JSON carries", { device_seq: 2 ** 53 }, /0 to 9007199254740991/],
    ["a number as text", { device_seq: "3" }, /found "3"/],
    [
      "a field that is missing",
      { text: undefined },
      /at \$\.text: expected a value, found nothing/,
    ],
    ["an id with a space", { id: "a b" }, /at \$\.id: expected text like/],
    ["an id with a line break behind it", { id: "a\n" }, /at \$\.id/],
    ["text that is too long", { text: "x".repeat(4001) }, /0 to 4000 characters/],
    ["half a character", { text: "\ud83d" }, /whole characters/],
    ["U+0000", { text: "a\0b" }, /no U\+0000/],
    ["a null where something must stand", { text: null }, /found null/],
    ["no kind", { kind: undefined }, /at \$\.kind/],
  ];
  test.each(refused)("is refused for %s", (_, change, message) => {
    expect(() => readLine(line(change))).toThrow(message);
  });

  test("counts characters and not their halves", () => {
    expect(readLine(line({ text: "🦷".repeat(4000) }))).toMatchObject({ kind: "note_added" });
    expect(() => readLine(line({ text: "🦷".repeat(4001) }))).toThrow(NotReadable);
  });

  test.each(["", "[]", "3", "{", "null"])("is refused when it is no JSON object: %j", (text) => {
    expect(() => readLine(text)).toThrow(NotReadable);
  });

  test("with contents of nothing, or of four irrigants, is refused", () => {
    const prepared = (count: number): unknown => ({
      ...note,
      kind: "syringe_prepared",
      syringe: "s1",
      contents: Array.from({ length: count }, () => ({ irrigant: "water" })),
    });
    expect(readHeard(prepared(3))).toMatchObject({ kind: "syringe_prepared" });
    expect(() => readHeard(prepared(0))).toThrow(/\$\.contents/);
    expect(() => readHeard(prepared(4))).toThrow(/\$\.contents/);
  });

  test("says the path inside a list", () => {
    const contents = [{ irrigant: "water" }, { irrigant: "Water" }];
    const prepared = { ...note, kind: "syringe_prepared", syringe: "s1", contents };
    expect(() => readHeard(prepared)).toThrow(/at \$\.contents\[1\]\.irrigant/);
  });
});

test("an event that was read reads as itself again", () => {
  const once = readAs("canal_set", { ...note, canal: "mb1", working_length_um: 20_000 });
  expect(readHeard(JSON.parse(JSON.stringify(once)))).toEqual(once);
});

test("a kit with a field that nobody knows is refused, since nothing in it may go unread", () => {
  const kit = aKit();
  expect(readKit(JSON.stringify(kit))).toEqual(kit);
  const strange = { ...kit, catalogue: { ...kit.catalogue, secret: 1 } };
  expect(() => readKit(JSON.stringify(strange))).toThrow(
    /at \$\.catalogue\.secret: expected no such field/,
  );
});
