import { expect, test } from "vitest";
import { reportOf } from "../../src/views/screens/review/report";

test("an answer without findings is no report", () => {
  expect(reportOf({})).toBeNull();
});

test("words of several warnings stand once, in their order", () => {
  const words = (...texts: string[]) => ({ words: texts.map((text) => ({ text })) });
  const report = reportOf({ findings: [], warnings: [words("b", "a"), {}, words("b")] });
  expect(report?.expected).toEqual({ exposures: [], residuals: ["b", "a"] });
});

test("an older server's report has no expected figures", () => {
  const finding = { rule: "open_end", severity: "notice" as const, text: "x" };
  const report = reportOf({ findings: [finding] });
  expect(report?.findings[0]).toMatchObject({ rule: "open_end", text: "x", sites: [] });
  expect(report?.expected).toEqual({ exposures: [], residuals: [] });
});
