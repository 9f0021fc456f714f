import { expect, test } from "vitest";
import { routeOf, to } from "../../src/store/route";

const at = (path: string) => routeOf(`http://127.0.0.1:8470${path}`);

test.each([
  ["/", "rooms", null],
  ["/who", "staff_pick", null],
  ["/open?room=room-2", "open_visit", null],
  ["/visits/abc", "chair", "abc"],
  ["/visits/abc/review", "review", "abc"],
  ["/visits/abc/incident", "incident", "abc"],
  ["/visits/abc/set-out", "set_out", "abc"],
  ["/set-out", "set_out", null],
  ["/protocols/0f", "protocols", "0f"],
  ["/calculators", "calculators", null],
  ["/calculators/needle?taper_pct=4", "calculators", "needle"],
  ["/refused", "tray", null],
  ["/connection", "trust", null],
])("%s is the screen %s", (path, screen, subject) => {
  expect(at(path)).toMatchObject({ screen, subject });
});

test.each(["/nowhere", "/visits/abc/else", "/visits/abc/review/more", "/constructor", "/audit/x"])(
  "%s is no screen",
  (path) => {
    expect(at(path)).toBeNull();
  },
);

test("an address made here leads where it says", () => {
  expect(at(to.review("a/b"))).toMatchObject({ screen: "review", subject: "a/b" });
  expect(at(to.open({ course: "c 1" }))?.query.get("course")).toBe("c 1");
});
