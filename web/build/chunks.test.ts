import { expect, test } from "vitest";
import { placesOf } from "./chunks.ts";

const MAIN = "/web/src/main.tsx";
const CHAIR = "/web/src/views/screens/chair/index.tsx";
const AUDIT = "/web/src/views/screens/audit/index.tsx";
const imports: { readonly [id: string]: readonly string[] } = {
  [MAIN]: ["/preact", "/web/src/store/now.ts"],
  "/web/src/store/now.ts": ["/preact"],
  [CHAIR]: ["/preact", "/web/src/views/press.tsx"],
  [AUDIT]: ["/web/src/views/press.tsx", "/web/src/views/spread.tsx"],
};
const places = placesOf(
  [
    AUDIT,
    CHAIR,
    MAIN,
    "/preact",
    "/web/src/store/now.ts",
    "/web/src/views/press.tsx",
    "/web/sw.ts",
  ],
  (id) => imports[id] ?? [],
);

test("what the first screen needs by itself comes first, however many need it", () => {
  expect(places.get(MAIN)).toBe("main");
  expect(places.get("/preact")).toBe("main");
  expect(places.get("/web/src/store/now.ts")).toBe("main");
});

test("what two screens need comes with the one that is needed sooner", () => {
  expect(places.get("/web/src/views/press.tsx")).toBe("chair");
  expect(places.get("/web/src/views/spread.tsx")).toBe("desk");
});

test("what no screen needs is left to the bundler", () => {
  expect(places.has("/web/sw.ts")).toBe(false);
});

test("a path of another system is read alike", () => {
  const windows = "C:\\web\\src\\main.tsx";
  expect(placesOf([windows], () => []).get(windows)).toBe("main");
});
