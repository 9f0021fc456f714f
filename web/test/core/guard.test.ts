import { describe, expect, test } from "vitest";
import { fold } from "../../src/core/fold.ts";
import { guard } from "../../src/core/guard.ts";
import { mgPerL, ms, um } from "../../src/core/quantities.ts";
import type { Kit, ProposedAct, Warning } from "../../src/core/types.ts";
import { aKit, anAct, C, content, E, MINUTE, N, SECOND, Visit, W } from "./builders.ts";
import { kitNamed } from "./judging.ts";

const speak = (visit: Visit, act: ProposedAct, kit: Kit | null = aKit()): readonly Warning[] =>
  guard(kit, fold(aKit(), visit.events), act);
const brief = (warnings: readonly Warning[]): string[] =>
  warnings.map(({ rule, level, about }) => [rule, level, about].filter(Boolean).join(" "));

/** A visit whose canals' lengths are known, so that nothing is said of them. */
function measured(...canals: readonly string[]): Visit {
  const visit = new Visit(canals);
  for (const canal of canals) {
    const size = { apical_size: 25, taper_um_per_mm: 60, orifice_um: 9000 };
    visit.add("canal_set", 0, { canal, working_length_um: 20_000, ...size });
  }
  return visit;
}

describe("the guard", () => {
  test("says that it is not available when there is no kit, and never nothing", () => {
    expect(brief(speak(measured("a"), anAct(N, "a"), null))).toEqual(["guard_unavailable note"]);
  });

  test("is silent before the first act in a measured canal", () => {
    expect(speak(measured("a"), anAct(N, "a"))).toEqual([]);
  });

  test("holds where two would meet anywhere in the tooth, naming every site", () => {
    const visit = measured("a", "b");
    visit.deliver(MINUTE, "a", N);
    const [hold] = speak(visit, anAct(C, "b"));
    expect(hold).toMatchObject({ rule: "pair", level: "hold" });
    expect(hold?.about).toBe("chlorhexidine+sodium_hypochlorite");
    expect([...(hold?.sites ?? [])].sort()).toEqual(["a", "chamber"]);
  });

  test("falls silent once the rinse and then the removal are on record, in that order", () => {
    const visit = measured("a");
    visit.deliver(1 * MINUTE, "a", N);
    visit.deliver(2 * MINUTE, "a", W, { volume_ul: 2000 });
    visit.points(3 * MINUTE, "a");
    visit.add("irrigant_removed", 4 * MINUTE, { site: "chamber", by: "aspiration" });
    expect(speak(visit, anAct(C, "a"))).toEqual([]);
    const backwards = measured("a");
    backwards.deliver(1 * MINUTE, "a", N);
    backwards.points(2 * MINUTE, "a");
    backwards.add("irrigant_removed", 2 * MINUTE, { site: "chamber", by: "aspiration" });
    backwards.deliver(3 * MINUTE, "a", W, { volume_ul: 2000 });
    expect(brief(speak(backwards, anAct(C, "a")))).toEqual([
      "pair hold chlorhexidine+sodium_hypochlorite",
    ]);
  });

  test("does not count a rinse that may have come before what it was to rinse away", () => {
    const visit = measured("a");
    visit.deliver(60 * SECOND, "a", E, { clock_error_ms: 2000 });
    const rinse = { volume_ul: 2000, device: "r", clock_error_ms: 2000 };
    visit.deliver(63 * SECOND, "a", W, rinse);
    const now = anAct(N, "a");
    expect(brief(speak(visit, now))).toEqual(["pair caution edta+sodium_hypochlorite"]);
    const certain = measured("a");
    certain.deliver(60 * SECOND, "a", E, { clock_error_ms: 2000 });
    certain.deliver(64 * SECOND, "a", W, rinse);
    expect(speak(certain, now)).toEqual([]);
  });

  test("counts no unknown volume towards a rinse", () => {
    const visit = measured("a");
    visit.deliver(1 * MINUTE, "a", E);
    visit.deliver(2 * MINUTE, "a", W, { volume_ul: null });
    expect(speak(visit, anAct(N, "a"))).toHaveLength(1);
  });

  test("speaks of contents that nobody can name with all but water", () => {
    const visit = measured("a");
    visit.deliver(MINUTE, "a", content("unknown"));
    expect(brief(speak(visit, anAct(N, "a")))).toEqual(["pair hold sodium_hypochlorite+unknown"]);
    expect(speak(visit, anAct(W, "a"))).toEqual([]);
  });

  test("says a note once a visit, whichever agent is named first, and a caution each time", () => {
    const visit = measured("a");
    const note = { rule: "working_length_unknown", level: "note", about: "", act: "x" };
    visit.add("canal_set", 1, { canal: "b" });
    expect(brief(speak(visit, anAct(N, "b")))).toEqual(["working_length_unknown note"]);
    visit.add("guard_spoke", 2, note);
    expect(speak(visit, anAct(N, "b"))).toEqual([]);
    visit.add("check_done", 3, { what: "isolation" });
    visit.add("treatment_stopped", 4);
    visit.add("guard_spoke", 5, { ...note, rule: "isolation_after_stop" });
    expect(brief(speak(visit, anAct(N, "a")))).toEqual(["isolation_after_stop caution"]);
  });

  test("does not repeat what this device has said and the record has not yet", () => {
    const visit = measured("a");
    visit.add("canal_set", 1, { canal: "b" });
    const said = [{ rule: "working_length_unknown", about: "" }];
    expect(guard(aKit(), fold(aKit(), visit.events), anAct(N, "b"), said)).toEqual([]);
  });

  test("orders holds before cautions before notes", () => {
    const visit = measured("a");
    visit.add("canal_set", 1, { canal: "b" });
    visit.add("check_done", 2, { what: "isolation" });
    visit.add("treatment_resumed", 3);
    visit.add("question_answered", 4, { question: "earlier_incident", answer: "yes" });
    const levels = speak(visit, anAct(N, "b")).map((warning) => warning.level);
    expect(levels).toEqual(["hold", "caution", "note"]);
  });
});

describe("a hold", () => {
  test.each(["yes", "unknown"])("for an allergy is said when the answer is %s", (answer) => {
    const visit = measured("a");
    visit.add("question_answered", 1, { question: "allergy_chlorhexidine", answer });
    expect(brief(speak(visit, anAct(C, "a")))).toEqual(["allergy hold chlorhexidine"]);
    visit.add("question_answered", 2, { question: "allergy_chlorhexidine", answer: "no" });
    expect(speak(visit, anAct(C, "a"))).toEqual([]);
  });

  test("is said for a tip at the working length, and not a micrometre above it", () => {
    const visit = measured("a");
    const tip = (tipUm: number) => anAct(N, "a", { tip_um: um(tipUm) });
    expect(brief(speak(visit, tip(20_000)))).toEqual(["tip_at_working_length hold"]);
    expect(speak(visit, tip(19_999))).toEqual([]);
  });

  test("is said for a way out unless the protocol is without pressure and allows the strength", () => {
    const visit = measured("a");
    visit.add("question_answered", 1, { question: "perforation", answer: "yes" });
    const passive = kitNamed("passive");
    const of = (strength: number) => anAct({ ...N, concentration_mg_per_l: mgPerL(strength) }, "a");
    expect(brief(speak(visit, of(10_000)))).toEqual([
      "open_apex_or_perforation hold sodium_hypochlorite",
    ]); // prettier-ignore
    expect(speak(visit, of(10_000), passive)).toEqual([]);
    expect(brief(speak(visit, of(10_001), passive))).toEqual([
      "open_apex_or_perforation hold sodium_hypochlorite",
    ]); // prettier-ignore
    expect(brief(speak(visit, anAct(content("sodium_hypochlorite"), "a"), passive))).toHaveLength(
      1,
    );
  });

  test("is said for a barrel that was filled again with another agent", () => {
    const visit = measured("a");
    visit.add("syringe_prepared", 1, { syringe: "s1", contents: [N] });
    const act = anAct(N, "a", { syringe: "s1" });
    visit.add("syringe_prepared", 2, { syringe: "s1", contents: [N] });
    expect(speak(visit, act)).toEqual([]);
    visit.add("syringe_prepared", 3, { syringe: "s1", contents: [W] });
    expect(brief(speak(visit, act))).toEqual(["barrel_refilled hold s1"]);
  });
});

describe("a caution", () => {
  test("is said once the use-by has passed, and not at that instant", () => {
    const visit = measured("a");
    visit.add("syringe_prepared", 1, { syringe: "s1", contents: [N], use_by_ms: 5000 });
    const at = (atMs: number) => anAct(N, "a", { syringe: "s1", at_ms: ms(atMs) });
    expect(speak(visit, at(5000))).toEqual([]);
    expect(brief(speak(visit, at(5001)))).toEqual(["use_by_passed caution s1"]);
  });

  test("is said where the needle is wider than the canal leaves room for", () => {
    const visit = measured("a");
    const kit = aKit();
    const needle = kit.catalogue.needles[0];
    if (needle === undefined) throw new Error("the kit has no needle");
    const { needle_gauge } = needle;
    visit.add("syringe_prepared", 1, { syringe: "s1", contents: [N], needle_gauge });
    const neededUm = needle.outer_max_um + kit.catalogue.reach.clearance_um;
    const fitsUpToUm = 20_000 - Math.ceil(((neededUm - 250) * 1000) / 60);
    const at = (tipUm: number) => anAct(N, "a", { syringe: "s1", tip_um: um(tipUm) });
    expect(speak(visit, at(fitsUpToUm), kit)).toEqual([]);
    expect(brief(speak(visit, at(fitsUpToUm + 20), kit))).toEqual(["needle_would_bind caution"]);
  });

  test("of a chelator's limit counts unbroken contact whatever its strength, and forgets what ended", () => {
    const visit = measured("a");
    visit.deliver(10 * SECOND, "a", E, { duration_ms: 0 });
    visit.deliver(
      50 * SECOND,
      "a",
      { ...E, concentration_mg_per_l: mgPerL(150_000) },
      { duration_ms: 0 },
    ); // prettier-ignore
    const at = (second: number) => anAct(E, "a", { at_ms: ms(second * SECOND) });
    const passive = kitNamed("passive");
    expect(speak(visit, at(70), passive)).toEqual([]);
    expect(brief(speak(visit, at(71), passive))).toEqual(["chelator_past_limit caution edta"]);
    visit.points(72 * SECOND, "a");
    expect(speak(visit, at(80), passive)).toEqual([]);
  });
});
