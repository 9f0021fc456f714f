import { describe, expect, test } from "vitest";
import { standing } from "../../src/core/amendments.ts";
import { N, Visit } from "./builders.ts";

describe("amendments", () => {
  test("a correction gives payload and time; id, device and author stay", () => {
    const visit = new Visit();
    const first = visit.deliver(10_000, "a", N);
    visit.correct(
      90_000,
      first,
      { occurred_at_ms: 5000, volume_ul: 300 },
      { staff: "t", device: "r" },
    );
    const [, event] = standing(visit.events).events;
    expect(event).toMatchObject({ id: first.id, occurred_at_ms: 5000, volume_ul: 300 });
    expect(event).toMatchObject({ staff: "s", device: "p", device_seq: first.device_seq });
  });

  test("a void that is itself replaced by a correction gives the event back", () => {
    const visit = new Visit();
    const first = visit.deliver(10_000, "a", N);
    const said = { entry: first.id, replaces: first.id, reason: "slip" };
    const gone = visit.add("entry_voided", 20_000, said);
    expect(standing(visit.events).events).toHaveLength(1);
    expect([...standing(visit.events).voided]).toEqual([first.id]);
    visit.correct(15_000, first, { volume_ul: 400 }, { replaces: gone.id });
    expect(standing(visit.events).events[1]).toMatchObject({ volume_ul: 400 });
    expect(standing(visit.events).findings).toEqual([]);
  });

  test("two that saw the same version are a conflict; the greater key wins", () => {
    const visit = new Visit();
    const first = visit.deliver(10_000, "a", N);
    const one = visit.correct(20_000, first, { volume_ul: 1 });
    const two = visit.correct(30_000, first, { volume_ul: 2 });
    const heard = standing(visit.events);
    expect(heard.events[1]).toMatchObject({ volume_ul: 2 });
    expect(heard.findings).toMatchObject([
      { rule: "correction_conflict", events: [one.id, two.id] },
    ]);
  });

  test("a payload that does not read leaves the original standing, and says so", () => {
    const visit = new Visit();
    const first = visit.deliver(10_000, "a", N);
    visit.correct(20_000, first, { volume_ul: "much" });
    const heard = standing(visit.events);
    expect(heard.events[1]).toEqual(first);
    expect(heard.findings).toMatchObject([{ rule: "correction_unreadable", severity: "serious" }]);
    expect(heard.versions).toMatchObject([{ stands: first.id, voided: false }]);
  });

  test("an amendment of what is not on record waits, without effect", () => {
    const visit = new Visit();
    const said = { entry: "nowhere", replaces: "nowhere", reason: "slip" };
    const alone = visit.add("entry_voided", 20_000, said);
    expect(standing(visit.events).findings).toMatchObject([
      { rule: "unresolved", events: [alone.id] },
    ]);
  });
});
