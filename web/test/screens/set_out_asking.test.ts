import { expect, test } from "vitest";
import type { Kit } from "../../src/core/types.ts";
import { EMPTY, syringeDraft, type VisitDraft } from "../../src/views/screens/open_visit/draft";
import { askedOfDraft, askedOfRecord } from "../../src/views/screens/set_out/asking";

const kit = (visits = 1): Kit => ({ protocol: { case: { visits } } }) as Kit;
const canal = {
  canal: "mb1",
  workingLengthUm: 20_000,
  orificeUm: null,
  apicalSize: 30,
  taperUmPerMm: 60,
  reference: "",
  name: null,
  joins: null,
};
const draft = (more: Partial<VisitDraft> = {}): VisitDraft => ({
  ...EMPTY,
  kit: "0f",
  canals: [canal],
  ...more,
});

test("an opening without protocol or canals asks nothing", () => {
  expect(askedOfDraft(draft({ kit: null }), kit())).toBeNull();
  expect(askedOfDraft(draft({ canals: [] }), kit())).toBeNull();
  expect(askedOfDraft(draft(), { protocol: null } as Kit)).toBeNull();
  expect(askedOfDraft(draft(), null)).toBeNull();
});

test("what is unknown of a canal is asked as unknown", () => {
  expect(askedOfDraft(draft(), kit())?.canals).toEqual([
    {
      canal: "mb1",
      orifice_um: null,
      working_length_um: 20_000,
      apical_size: 30,
      taper_um_per_mm: 60,
    },
  ]);
});

test("each needle is asked once, one that is half known not at all", () => {
  const syringe = (gauge: number | null, tip: "flat" | null) => ({
    ...syringeDraft("s", []),
    gauge,
    tip,
  });
  const syringes = [syringe(30, "flat"), syringe(30, "flat"), syringe(27, null)];
  expect(askedOfDraft(draft({ syringes }), kit())?.needles).toEqual([
    { needle_gauge: 30, needle_tip: "flat" },
  ]);
  expect(askedOfDraft(draft({ syringes: [syringe(27, null)] }), kit())).not.toHaveProperty(
    "needles",
  );
});

test("a dressing left in makes it the protocol's second visit, if it has one", () => {
  const left = {
    site: "mb1",
    irrigant: "calcium_hydroxide",
    concentrationMgPerL: null,
    dressing: true,
    sinceMs: null,
    carried: false,
  };
  expect(askedOfDraft(draft({ leftIn: [left] }), kit(2))?.visit).toBe(2);
  expect(askedOfDraft(draft({ leftIn: [left] }), kit(1))?.visit).toBe(1);
  expect(askedOfDraft(draft(), kit(2))?.visit).toBe(1);
});

test("a visit without a protocol asks nothing", () => {
  expect(askedOfRecord("0f", { protocol: null } as Kit, null)).toBeNull();
  expect(askedOfRecord(null, kit(), null)).toBeNull();
});
