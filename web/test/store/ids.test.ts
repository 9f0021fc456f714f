import { expect, test } from "vitest";
import { uuid7 } from "../../src/store/ids";

const FORM = /^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/;

test("an identity is a UUID of version 7 in lower case", () => {
  expect(uuid7(1_790_000_000_000)).toMatch(FORM);
});

test("the instant stands in the first 48 bits, as in the standard's own example", () => {
  // RFC 9562, appendix A.6: 2022-02-22T19:22:22Z is 0x017F22E279B0.
  const random = new Uint8Array([0x0c, 0xc3, 0x18, 0xc4, 0xdc, 0x0c, 0x0c, 0x07, 0x39, 0x8f]);
  expect(uuid7(0x017f22e279b0, random)).toBe("017f22e2-79b0-7cc3-98c4-dc0c0c07398f");
});

test("a thousand identities of one instant all differ", () => {
  expect(new Set(Array.from({ length: 1000 }, () => uuid7(5))).size).toBe(1000);
});
