/** How a finding is made: what is not said is empty. */

import { ms } from "./quantities.ts";
import type { Finding, Severity } from "./types.ts";

interface Said {
  readonly sites?: readonly string[];
  readonly events?: readonly string[];
  readonly ms?: number | null;
  readonly about?: string;
}

export function finding(rule: string, severity: Severity, said: Said): Finding {
  return {
    rule,
    severity,
    sites: said.sites ?? [],
    events: said.events ?? [],
    ms: said.ms == null ? null : ms(said.ms),
    about: said.about ?? "",
  };
}
