import { existsSync, readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { SCREEN_NAMES } from "../../src/store/route";

const folder = new URL("../../src/views/screens/", import.meta.url);

test.each(SCREEN_NAMES)("the screen %s is there and can be brought by itself", (name) => {
  const file = new URL(`${name}/index.tsx`, folder);
  expect(existsSync(file)).toBe(true);
  const exported =
    name === "rooms" ? /export function Rooms/ : /export default function|as default/;
  expect(readFileSync(file, "utf8")).toMatch(exported);
});

test("no screen or part asks the network or the disk by itself", () => {
  for (const name of SCREEN_NAMES) {
    const text = readFileSync(new URL(`${name}/index.tsx`, folder), "utf8");
    expect(text).not.toMatch(/\bfetch\(|indexedDB|sync\//);
  }
});
