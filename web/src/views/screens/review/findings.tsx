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
  readonly onOpen: (events: readonly string[], title: string) => void;
}

export function Findings(props: FindingsProps): JSX.Element {
  const { findings, fromServer, onOpen } = props;
  return (
    <>
      {!fromServer && <p class="small soft">{own.local}</p>}
      {findings.length === 0 && <p>{own.none}</p>}
      <ul class="cc-findings">
        {grouped(findings).map((group) => (
          <Group key={group[0]?.rule ?? ""} findings={group} onOpen={onOpen} />
        ))}
      </ul>
    </>
  );
}

const TOGETHER_FROM = 4;
const ORDER = ["serious", "notice", "info"];

/** By rule, the serious ones first; many of one rule fold into a line that can be opened. */
function grouped(findings: readonly ReportFinding[]): readonly (readonly ReportFinding[])[] {
  const groups = new Map<string, ReportFinding[]>();
  for (const one of findings) {
    const key = `${one.severity} ${one.rule}`;
    groups.set(key, [...(groups.get(key) ?? []), one]);
  }
  const rank = (group: readonly ReportFinding[]): number => ORDER.indexOf(group[0]?.severity ?? "");
  return [...groups.values()].sort((a, b) => rank(a) - rank(b));
}

function Group(props: {
  readonly findings: readonly ReportFinding[];
  readonly onOpen: FindingsProps["onOpen"];
}): JSX.Element {
  const { findings, onOpen } = props;
  const [first] = findings;
  const rows = findings.map((finding) => (
    <Row
      key={`${finding.about} ${finding.events.join(" ")} ${finding.sites.join(" ")}`}
      finding={finding}
      onOpen={onOpen}
    />
  ));
  if (first === undefined || findings.length < TOGETHER_FROM) return <>{rows}</>;
  return (
    <li>
      <details>
        <summary class={`cc-finding cc-finding-${first.severity}`}>
          <b>{severityText(first.severity)}</b>{" "}
          {own.together(findings.length, ruleText(first.rule))}
        </summary>
        <ul class="cc-findings">{rows}</ul>
      </details>
    </li>
  );
}

function Row(props: {
  readonly finding: ReportFinding;
  readonly onOpen: FindingsProps["onOpen"];
}): JSX.Element {
  const { finding, onOpen } = props;
  return (
    <li class={`cc-finding cc-finding-${finding.severity}`}>
      <b>{severityText(finding.severity)}</b>
      <span>
        {finding.text ?? ruleText(finding.rule)}{" "}
        {finding.text === null && finding.sites.length > 0 && <b>{sitesText(finding.sites)}</b>}
      </span>
      {finding.events.length > 0 && (
        <Press
          repeats
          class="cc-small"
          onPress={() => onOpen(finding.events, finding.text ?? ruleText(finding.rule))}
        >
          {own.rests_on(finding.events.length)}
        </Press>
      )}
    </li>
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
