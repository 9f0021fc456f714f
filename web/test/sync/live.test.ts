import { expect, test } from "vitest";
import { newsOf } from "../../src/sync/live";

test("news carries where reading goes on, and the visit", () => {
  expect(newsOf('{"feed":7,"visit":"v","seq":3}')).toEqual({ feed: 7, visit: "v", seq: 3 });
});

test.each([
  '{"beat":1790000000000}',
  '{"alarm":{"visit":"v"}}',
  "<html>",
  "null",
  "7",
  '{"feed":"7"}',
])("%s is no news", (message) => {
  expect(newsOf(message)).toBeNull();
});
