/**
 * Amounts as typed: one strict grammar, bound exactly to a whole number of a small unit or refused. Empty is
 * unknown. Nothing is rounded, and a comma is never taken for a point.
 */

export type Bound =
  | { readonly is: "unknown" }
  | { readonly is: "amount"; readonly amount: number }
  | { readonly is: "refused"; readonly why: "comma" | "not_a_number" | "too_fine" | "too_large" };

const PLAIN = /^(0|[1-9]\d{0,8})(?:\.(\d+))?$/;

/**
 * An amount in a trade's unit as a whole number of a small unit.
 *
 * Args:
 *   text: As typed.
 *   digits: Decimal digits from one unit to one small unit (mL to µL: 3; % to mg/L: 4). []
 *   most: Largest that is taken. [small unit]
 */
export function bound(text: string, digits: number, most: number = Number.MAX_SAFE_INTEGER): Bound {
  const written = text.trim();
  if (written === "") return { is: "unknown" };
  if (written.includes(",")) return { is: "refused", why: "comma" };
  const found = PLAIN.exec(written);
  if (found === null) return { is: "refused", why: "not_a_number" };
  const fraction = (found[2] ?? "").replace(/0+$/, "");
  if (fraction.length > digits) return { is: "refused", why: "too_fine" };
  const amount = Number(`${found[1]}${fraction.padEnd(digits, "0")}`);
  return amount > most ? { is: "refused", why: "too_large" } : { is: "amount", amount };
}

/**
 * Whether a case label reads like a person's name: two or more words of letters alone, or one word of
 * four letters or more that begins with a capital. A warning, never a refusal.
 */
export function looksLikeName(label: string): boolean {
  const words = label
    .trim()
    .split(/[\s,]+/)
    .filter((word) => word !== "");
  const letters = words.filter((word) => /^[\p{L}.'’-]+$/u.test(word));
  if (letters.length !== words.length || words.length === 0) return false;
  if (words.length >= 2) return true;
  return /^\p{Lu}\p{L}{3,}$/u.test(words[0] ?? "");
}
