/** The server's report and its view of the visit, as far as review needs them. */

import type { Finding } from "../../../core/types.ts";
import { server } from "../../../store/server";

export interface ReportFinding {
  readonly rule: string;
  readonly severity: string;
  readonly sites: readonly string[];
  readonly events: readonly string[];
  readonly about: string;
  readonly text: string | null;
}

export interface SignatureRow {
  readonly seq: number;
  readonly digest: string;
  readonly staff: string;
  readonly signed_at_ms: number;
  readonly addendum: boolean;
}

export interface VisitView {
  readonly signatures: readonly SignatureRow[];
  readonly devices: readonly {
    readonly device: string;
    readonly last_seq: number;
    readonly gaps: readonly (readonly [number, number])[];
  }[];
}

/** Findings of the server's audit; null when it gives no report. */
export async function fetchFindings(visit: string): Promise<readonly ReportFinding[] | null> {
  try {
    const report = await server().get<{
      readonly findings?: readonly Partial<Finding & ReportFinding>[];
    }>(`/visits/${encodeURIComponent(visit)}/report.json`);
    if (!Array.isArray(report.findings)) return null;
    return report.findings.map(findingOf);
  } catch {
    return null;
  }
}

function findingOf(
  found: Partial<Finding & ReportFinding> & { readonly site?: unknown },
): ReportFinding {
  const sites = found.sites ?? (typeof found.site === "string" ? [found.site] : []);
  return {
    rule: found.rule ?? "",
    severity: found.severity ?? "info",
    sites,
    events: found.events ?? [],
    about: found.about ?? "",
    text: found.text ?? null,
  };
}

/** Signatures and what has not arrived; null when nobody answers. */
export async function fetchVisitView(visit: string): Promise<VisitView | null> {
  try {
    return await server().get<VisitView>(`/visits/${encodeURIComponent(visit)}`);
  } catch {
    return null;
  }
}
