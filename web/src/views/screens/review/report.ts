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

/** Hypochlorite's concentration times time in a canal: nominal, and the low end of its band. */
export interface ExposureRow {
  readonly site: string;
  readonly irrigant: string;
  readonly nominal_pct_min: number;
  readonly low_pct_min: number;
  readonly last_3mm_nominal_pct_min: number | null;
  readonly last_3mm_low_pct_min: number | null;
  readonly at_least: boolean;
}

/** What models expect; words of a pair's warnings, each once. */
export interface ExpectedFigures {
  readonly exposures: readonly ExposureRow[];
  readonly residuals: readonly string[];
}

export interface ServerReport {
  readonly findings: readonly ReportFinding[];
  readonly expected: ExpectedFigures;
}

interface WireReport {
  readonly findings?: readonly Partial<Finding & ReportFinding>[];
  readonly exposures?: readonly ExposureRow[];
  readonly warnings?: readonly { readonly words?: readonly { readonly text: string }[] }[];
}

/** The server's findings and expected figures; null when it gives no report. */
export async function fetchReport(visit: string): Promise<ServerReport | null> {
  try {
    return reportOf(
      await server().get<WireReport>(`/visits/${encodeURIComponent(visit)}/report.json`),
    );
  } catch {
    return null;
  }
}

/** What review takes from a report; null for an answer without findings. */
export function reportOf(report: WireReport): ServerReport | null {
  if (!Array.isArray(report.findings)) return null;
  const texts = (report.warnings ?? []).flatMap((said) => said.words ?? []).map(({ text }) => text);
  return {
    findings: report.findings.map(findingOf),
    expected: { exposures: report.exposures ?? [], residuals: [...new Set(texts)] },
  };
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
