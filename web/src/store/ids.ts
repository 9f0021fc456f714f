/**
 * Identities made on the device: UUIDv7 in lower case.
 *
 * `crypto.randomUUID` is missing where the page comes over plain http from a LAN name, so only
 * `crypto.getRandomValues` is used.
 *
 * Source: IETF RFC 9562, section 5.7.
 */

const HEX = [8, 12, 16, 20];

/** A fresh UUIDv7 for an instant. [ms since 1970] */
export function uuid7(atMs: number, random: Uint8Array = randomBytes()): string {
  const bytes = new Uint8Array(16);
  let rest = Math.max(0, Math.floor(atMs));
  for (let index = 5; index >= 0; index -= 1) {
    bytes[index] = rest % 256;
    rest = Math.floor(rest / 256);
  }
  bytes.set(random.subarray(0, 10), 6);
  bytes[6] = 0x70 | ((bytes[6] ?? 0) & 0x0f);
  bytes[8] = 0x80 | ((bytes[8] ?? 0) & 0x3f);
  return spelled(bytes);
}

function randomBytes(): Uint8Array {
  return crypto.getRandomValues(new Uint8Array(10));
}

function spelled(bytes: Uint8Array): string {
  const text = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return [0, ...HEX].map((from, index) => text.slice(from, HEX[index])).join("-");
}
