import { expect, test } from "vitest";
import { filled, shellOf } from "./shell.ts";

const page = { name: "index.html", bytes: "<p>" };
const script = { name: "assets/main-1.js", bytes: "run()" };

test("each file stands in the list once, without the worker and source maps", () => {
  const built = [script, page, page, { name: "sw.js", bytes: "" }, { name: "a.js.map", bytes: "" }];
  expect(shellOf(built, "sw.js").files).toEqual(["/assets/main-1.js", "/"]);
});

test("the digest depends on the bytes and not on the order", () => {
  const one = shellOf([page, script], "sw.js").digest;
  expect(shellOf([script, page], "sw.js").digest).toBe(one);
  expect(shellOf([page, { ...script, bytes: "stop()" }], "sw.js").digest).not.toBe(one);
});

test("the worker gets the list and the digest", () => {
  const code = "cache(__SHELL_DIGEST__, __SHELL_FILES__)";
  expect(filled(code, { files: ["/"], digest: "d" })).toBe('cache("d", ["/"])');
});

test("a worker that does not ask for the list is refused", () => {
  expect(() => filled("nothing", { files: [], digest: "" })).toThrow(/__SHELL_FILES__/);
});
