import { describe, expect, test } from "vitest";
import { type AuditRow, auditPath, charts } from "../../src/views/screens/audit/audit_model";

const MIN = 60_000;
function aRow(change: Partial<AuditRow> & { readonly least?: number | null } = {}): AuditRow {
  const { least, ...more } = change;
  return {
    visit: "v",
    opened_at_ms: 0,
    tooth: "16",
    label: "A-1",
    room: "room-1",
    protocol: "p",
    canal: "mb1",
    irrigant: "sodium_hypochlorite",
    asked: { last_3mm_ms: (5 * MIN) as never },
    had: {
      anywhere_ms: 20 * MIN,
      last_3mm_least_ms: least === undefined ? 6 * MIN : least,
      last_3mm_mean_ms: null,
      fresh_ms: 0,
      activated_ms: 0,
      volume_ul: 0,
    },
    findings: 0,
    signed: false,
    ...more,
  };
}

describe("one question a chart", () => {
  test("canals stand from least to most, and the sentence counts those that had what was asked", () => {
    const [chart] = charts([
      aRow({ least: 7 * MIN }),
      aRow({ least: 5 * MIN }),
      aRow({ least: 2 * MIN }),
    ]);
    expect(chart?.marks.map((mark) => mark.ms / MIN)).toEqual([2, 5, 7]);
    expect([chart?.reached, chart?.asked]).toEqual([2, 3]);
  });

  test("an unknown last 3 mm is counted among the asked, not among those that had it, and not drawn", () => {
    const [chart] = charts([aRow({ least: null }), aRow()]);
    expect([chart?.reached, chart?.asked, chart?.unknown, chart?.marks.length]).toEqual([
      1, 2, 1, 1,
    ]);
  });

  test("training is drawn and not counted", () => {
    const [chart] = charts([aRow({ training: true }), aRow()]);
    expect([chart?.asked, chart?.marks.length]).toEqual([1, 2]);
  });

  test("where only contact was asked the question is contact anywhere", () => {
    const [chart] = charts([aRow({ asked: { contact_ms: (10 * MIN) as never }, least: null })]);
    expect([chart?.measure, chart?.reached, chart?.askedMs?.[0]]).toEqual([
      "anywhere",
      1,
      10 * MIN,
    ]);
  });

  test("where nothing was asked nothing counts as reached", () => {
    const [chart] = charts([aRow({ asked: null })]);
    expect([chart?.askedMs, chart?.asked]).toEqual([null, 0]);
  });
});

test("an audit is asked for by its filter, and its CSV by the same", () => {
  const filter = { days: 1, protocol: "a-b", room: "" };
  expect(auditPath(filter, 86_400_001)).toBe("/audit?protocol=a-b&from_ms=1&to_ms=86400001");
  expect(auditPath({ days: null, protocol: "", room: "" }, 5, ".csv")).toBe("/audit.csv");
});
