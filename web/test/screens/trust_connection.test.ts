import { expect, test } from "vitest";
import { hasNoWorkers, lost, workerRefused } from "../../src/store/secure";
import { words } from "../../src/strings/trust";
import { codeOf, NOTICES, rowsOf } from "../../src/views/screens/trust/connection";

test("a fingerprint is read in four rows of eight pairs", () => {
  const pairs = Array.from({ length: 32 }, (_, at) => at.toString(16).padStart(2, "0"));
  const rows = rowsOf(pairs.join(" "));
  expect(rows).toHaveLength(4);
  expect(rows[0]).toBe("00 01 02 03 04 05 06 07");
  expect(rows.join(" ")).toBe(pairs.join(" "));
});

test("a code is asked for by what it leads to and the number of the address", () => {
  expect(codeOf("trust", 2)).toBe("/api/connection/code.svg?of=trust&at=2");
});

test("every notice of the server has words that hold what it is about", () => {
  for (const code of NOTICES) expect(words.notices[code]("2027-01-01")).toContain("2027-01-01");
});

test("a page over plain http and an old browser are told apart", () => {
  hasNoWorkers(false);
  expect(lost.value).toBe("plain");
  hasNoWorkers(true);
  expect(lost.value).toBe("old");
});

test("a certificate that is not trusted is a refusal, a network that was away is none", () => {
  hasNoWorkers(true);
  workerRefused(new TypeError("Failed to fetch"));
  expect(lost.value).toBe("old");
  workerRefused(new DOMException("An SSL certificate error occurred", "SecurityError"));
  expect(lost.value).toBe("refused");
});
