/**
 * Every word the user reads, by language and by screen.
 *
 * English lies in `en/`, one file for each screen so that a screen brings only its own words. A second
 * language is a folder beside it and one more name in `Language`: until every screen's file names it,
 * the type checker points at each that does not, and at each word it lacks.
 */

export type Language = "en";

/** The same words in another language: text for text, and for a text with gaps the same gaps. */
export type Words<W> = {
  readonly [Key in keyof W]: W[Key] extends (...gaps: infer Gaps) => string
    ? (...gaps: Gaps) => string
    : W[Key] extends string
      ? string
      : Words<W[Key]>;
};

const FALLBACK: Language = "en";

/** The words of one screen in the device's language. */
export function pick<W>(all: { readonly [Name in Language]: W }, wanted: string = language()): W {
  return Object.hasOwn(all, wanted) ? all[wanted as Language] : all[FALLBACK];
}

function language(): string {
  return globalThis.document?.documentElement.lang ?? FALLBACK;
}
