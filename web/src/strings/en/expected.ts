/** Review: what models expect beside what was measured. */

export const expected = {
  title: "Expected, not measured",
  exposure: {
    title: "Exposure to hypochlorite",
    canal: "Canal",
    anywhere: "Anywhere",
    last_3mm: "Last 3\u00a0mm, least",
    figure: (low: string, nominal: string) => `${low} to ${nominal} % min`,
    at_least: (figure: string) => `at least ${figure}`,
    unknown: "not known",
    band: "By the label's strength; the low end if chlorine was consumed (0.3 per min, a choice). No validated dose.",
  },
  residual: {
    title: "Left behind, where a pair was held or cautioned",
    level: "These words add to the warning; they never make or lift one.",
  },
};
