/** What the audit saw, each finding with the events that it rests on. */

import type { JSX } from "preact";
import { words } from "../../../strings/review";
import { Press } from "../chair/press";
import { sitesText } from "../chair/texts";
import type { ReportFinding } from "./report";

const own = words.findings;

interface FindingsProps {
  readonly findings: readonly ReportFinding[];
  readonly fromServer: boolean;
  readonly onOpen: (events: readonly string[]) => void;
}

export function Findings(props: FindingsProps): JSX.Element {
  const { findings, fromServer, onOpen } = props;
  return (
    <>
      {!fromServer && <p class="small soft">{own.local}</p>}
      {findings.length === 0 && <p>{own.none}</p>}
      <ul class="cc-findings">
        {findings.map((finding) => (
          <li
            key={`${finding.rule} ${finding.events.join(" ")} ${finding.sites.join(" ")}`}
            class={`cc-finding cc-finding-${finding.severity}`}
          >
            <b>{severityText(finding.severity)}</b>
            <span>
              {finding.text ?? ruleText(finding.rule)}{" "}
              {finding.sites.length > 0 && <b>{sitesText(finding.sites)}</b>}
            </span>
            {finding.events.length > 0 && (
              <Press repeats class="cc-small" onPress={() => onOpen(finding.events)}>
                {own.rests_on(finding.events.length)}
              </Press>
            )}
          </li>
        ))}
      </ul>
    </>
  );
}

function severityText(severity: string): string {
  const texts: { readonly [severity: string]: string } = own.severity;
  return texts[severity] ?? severity;
}

function ruleText(rule: string): string {
  const texts: { readonly [rule: string]: string } = own.rules;
  return texts[rule] ?? rule.replaceAll("_", " ");
}
