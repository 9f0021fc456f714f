import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { contrast } from "../../src/views/canal/marks";

const css = readFileSync(new URL("../../src/views/style/tokens.css", import.meta.url), "utf8");

/** The colours of one light, by name. */
function lightOf(name: string): { readonly [token: string]: string } {
  const block = new RegExp(`\\[data-look="${name}"\\] \\{([^}]*)\\}`).exec(css)?.[1] ?? "";
  return Object.fromEntries(
    [...block.matchAll(/--([a-z-]+): (#[0-9a-f]{6});/g)].map((found) => [found[1], found[2]]),
  );
}

const GROUNDS = ["ground", "tray", "well"] as const;

test.each(["dark", "light"])(
  "digits and text meet 7:1 and 4.5:1 on every ground in the %s",
  (name) => {
    const light = lightOf(name);
    for (const ground of GROUNDS) {
      expect(
        contrast(light.ink ?? "", light[ground] ?? ""),
        `ink on ${ground}`,
      ).toBeGreaterThanOrEqual(7);
      expect(
        contrast(light["ink-soft"] ?? "", light[ground] ?? ""),
        `soft on ${ground}`,
      ).toBeGreaterThanOrEqual(4.5);
      expect(
        contrast(light.caution ?? "", light[ground] ?? ""),
        `caution on ${ground}`,
      ).toBeGreaterThanOrEqual(4.5);
    }
    expect(contrast(light.ink ?? "", light.press ?? "")).toBeGreaterThanOrEqual(7);
    expect(contrast(light["on-enamel"] ?? "", light.enamel ?? "")).toBeGreaterThanOrEqual(7);
    expect(contrast(light["on-hold"] ?? "", light.hold ?? "")).toBeGreaterThanOrEqual(7);
  },
);

test.each(["dark", "light"])("edges, focus and chosen things meet 3:1 in the %s", (name) => {
  const light = lightOf(name);
  for (const mark of ["edge", "focus", "enamel", "hold-edge", "hold"]) {
    expect(contrast(light[mark] ?? "", light.ground ?? ""), mark).toBeGreaterThanOrEqual(3);
  }
  expect(contrast(light.edge ?? "", light.tray ?? ""), "edge on tray").toBeGreaterThanOrEqual(3);
});
