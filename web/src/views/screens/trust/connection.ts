/** What the server says of how it is reached; /api/connection. */

export const NOTICES = [
  "ends_soon",
  "not_renewed",
  "names_left_out",
  "authority_ends",
  "exposed",
] as const;
export type NoticeCode = (typeof NOTICES)[number];

export interface Connection {
  readonly mode: "plain" | "authority" | "own" | "proxy";
  readonly addresses: readonly string[];
  readonly trust: readonly string[];
  readonly fingerprint: string | null;
  readonly ends_at_ms: number | null;
  readonly notices: readonly { readonly code: NoticeCode; readonly about: string }[];
}

/** Where the code of a listed address is drawn. */
export function codeOf(of: "app" | "trust", at: number): string {
  return `/api/connection/code.svg?of=${of}&at=${at}`;
}

const PAIRS_A_ROW = 8;

/** A fingerprint in rows that are compared one by one. */
export function rowsOf(fingerprint: string): readonly string[] {
  const pairs = fingerprint.split(" ");
  const rows: string[] = [];
  for (let at = 0; at < pairs.length; at += PAIRS_A_ROW) {
    rows.push(pairs.slice(at, at + PAIRS_A_ROW).join(" "));
  }
  return rows;
}
