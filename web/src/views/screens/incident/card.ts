/** The card of first steps, fetched when there is a server and kept on the device for when there is none. */

import { server } from "../../../store/server";

export interface Card {
  readonly title: string;
  readonly approved: boolean;
  readonly steps: readonly string[];
  readonly sources: readonly string[];
}

const KEPT_AS = "canalclock.incident_card";

/** The card as this device last had it; null = never. */
export function cardKept(): Card | null {
  try {
    return readCard(JSON.parse(localStorage.getItem(KEPT_AS) ?? "null"));
  } catch {
    return null;
  }
}

/** The server's card, kept for later; null when nobody answers. */
export async function fetchCard(): Promise<Card | null> {
  try {
    const card = readCard(await server().get<unknown>("/cards/incident"));
    if (card !== null) localStorage.setItem(KEPT_AS, JSON.stringify(card));
    return card;
  } catch {
    return null;
  }
}

/** A card only if it has steps: half a card is worse than the sentence that there is none. */
export function readCard(found: unknown): Card | null {
  if (typeof found !== "object" || found === null) return null;
  const { title, approved, steps, sources } = found as { readonly [field: string]: unknown };
  const lines = textsOf(steps);
  if (lines.length === 0) return null;
  return {
    title: typeof title === "string" ? title : "",
    approved: approved === true,
    steps: lines,
    sources: textsOf(sources),
  };
}

function textsOf(found: unknown): readonly string[] {
  if (!Array.isArray(found)) return [];
  return found.flatMap((one) => {
    if (typeof one === "string") return [one];
    const text = typeof one === "object" && one !== null ? (one as { text?: unknown }).text : null;
    return typeof text === "string" ? [text] : [];
  });
}
