/**
 * Review and sign: what each canal really had, as maps and as a table, what the audit saw, every
 * event with its versions, open corrections, and the dentist's signature.
 */

import type { JSX } from "preact";
import { useEffect, useState } from "preact/hooks";
import "../../style/figures.css";
import "./review.css";
import "../chair/chair.css";
import type { VisitRecord } from "../../../core/types.ts";
import { staffTitle, zone } from "../../../store/clinic";
import { type Draft, log } from "../../../store/commands";
import { core } from "../../../store/core";
import { kitOfVisit, recordOf, totalsOf } from "../../../store/records";
import { to } from "../../../store/route";
import { eventsOf, visitRow, watch } from "../../../store/visits";
import { words as chairWords } from "../../../strings/chair";
import { words } from "../../../strings/review";
import { canalText, timeOfDayText } from "../../canal/amounts";
import { NoVisit } from "../../parts/no_visit";
import { syringes } from "../chair/rack";
import { warningText } from "../chair/texts";
import { CorrectSheet, RestoreSheet, VoidSheet } from "./amend_sheets";
import { type Account, accounts } from "./correction";
import type { Lookup } from "./event_text";
import { EventsList, type Shown } from "./events_list";
import { Expected } from "./expected";
import { Findings } from "./findings";
import { fetchReport, fetchVisitView, type ServerReport, type VisitView } from "./report";
import { restsOn } from "./rests_on";
import { Sign } from "./sign";
import { CanalTable, TableNotes } from "./table";
import { tableRows } from "./table_model";
import { TimeMap } from "./time_map";
import { canalMap, mapSpan } from "./time_map_model";

export default function Review({
  subject,
}: {
  readonly subject: string | null;
}): JSX.Element | null {
  return subject === null ? null : <ReviewScreen visit={subject} />;
}

type Amending = { readonly kind: "correct" | "void" | "restore"; readonly account: Account };

function ReviewScreen({ visit }: { readonly visit: string }): JSX.Element {
  useEffect(() => watch(visit), [visit]);
  const record = recordOf(visit).value;
  const totals = totalsOf(visit).value;
  const events = eventsOf(visit).value;
  const kit = kitOfVisit(visit).value;
  const [amending, setAmending] = useState<Amending | null>(null);
  const [shown, setShown] = useState<Shown | null>(null);
  const [failure, setFailure] = useState<string | null>(null);
  const [view, setView] = useState<VisitView | null>(null);
  const [report, setReport] = useState<ServerReport | null>(null);
  const findings = report?.findings ?? null;
  const head = events.head;
  useEffect(() => {
    void fetchVisitView(visit).then(setView);
    void fetchReport(visit).then(setReport);
  }, [visit, head?.seq]);
  if (record === null || totals === null) {
    return (
      <section class="cc-review">
        <NoVisit visit={visit} />
      </section>
    );
  }
  const entries = kit?.catalogue.irrigants ?? [];
  const look = lookup(record, entries);
  const span = mapSpan(record, totals.as_of_ms);
  const rows = tableRows(record, kit, totals);
  const all = [...events.entries.map((entry) => entry.event), ...events.pending];
  const open = (ids: readonly string[], title: string): void => {
    setShown({ ids: new Set(ids), title });
    requestAnimationFrame(() => document.getElementById("review-events")?.scrollIntoView());
  };
  const onLog = (draft: Draft): void => {
    log(visit, draft).catch((found: unknown) =>
      setFailure(found instanceof Error ? found.message : String(found)),
    );
  };
  const sheet = { record, look, onLog, onClose: () => setAmending(null) };
  return (
    <div class="cc-review">
      <Head visit={visit} record={record} asOfMs={totals.as_of_ms} />
      {failure !== null && (
        <p class="band caution" role="alert">
          {failure}
        </p>
      )}
      <section class="cc-review-canals" aria-labelledby="review-canals">
        <h2 id="review-canals">{words.table.title}</h2>
        {record.canals.map((canal) => (
          <article key={canal.canal} class="cc-review-canal">
            <TimeMap map={canalMap(record, canal, entries, span)} zone={zone.value} />
            <CanalTable
              canal={canal.canal}
              rows={rows.filter((row) => row.site === canal.canal)}
              entries={entries}
              onOpen={(row, measure, title) =>
                open(
                  restsOn(record, row.site, row.irrigant, measure),
                  `${canalText(row.site)}, ${title}`,
                )
              }
            />
          </article>
        ))}
        <p class="small soft">
          {words.map.across}; {words.map.down}; {words.map.fresh}; {words.map.stale};{" "}
          {words.map.activated}; {words.map.carried}. {words.map.expected}
        </p>
        <TableNotes totals={totals} entries={entries} zone={zone.value} />
      </section>
      <section aria-labelledby="review-findings">
        <h2 id="review-findings">{words.findings.title}</h2>
        <Findings
          findings={findings ?? record.findings.map((one) => ({ ...one, text: null }))}
          fromServer={findings !== null}
          onOpen={open}
        />
      </section>
      {report !== null && <Expected figures={report.expected} />}
      <section class="cc-review-sign" aria-labelledby="review-sign">
        <h2 id="review-sign">{words.sign.title}</h2>
        <Sign
          visit={visit}
          head={head}
          entries={events.entries}
          pending={events.pending.length}
          totals={totals}
          foldVersion={core.value?.FOLD_VERSION ?? null}
          view={view}
          isOpen={record.closed_at_ms === null}
          released={releasedIn(record, entries)}
          look={look}
          onSigned={() => void fetchVisitView(visit).then(setView)}
        />
      </section>
      <section class="cc-review-events" aria-labelledby="review-events">
        <h2 id="review-events">{words.events.title}</h2>
        <EventsList
          accounts={accounts(all, record)}
          seqOf={new Map(events.entries.map((entry) => [entry.event.id, entry.seq]))}
          look={look}
          shown={shown}
          onShowAll={() => setShown(null)}
          onCorrect={(account) => setAmending({ kind: "correct", account })}
          onVoid={(account) => setAmending({ kind: "void", account })}
          onRestore={(account) => setAmending({ kind: "restore", account })}
        />
      </section>
      {amending?.kind === "correct" && <CorrectSheet account={amending.account} {...sheet} />}
      {amending?.kind === "void" && <VoidSheet account={amending.account} {...sheet} />}
      {amending?.kind === "restore" && <RestoreSheet account={amending.account} {...sheet} />}
    </div>
  );
}

function Head(props: {
  readonly visit: string;
  readonly record: VisitRecord;
  readonly asOfMs: number;
}): JSX.Element {
  const { visit, record, asOfMs } = props;
  const row = visitRow(visit);
  const kit = kitOfVisit(visit).value;
  const protocol = kit?.protocol ?? null;
  return (
    <header class="cc-review-head">
      <h1>
        {words.title}: {chairWords.tooth(record.opened?.tooth ?? row?.tooth ?? "?")} ·{" "}
        {record.opened?.label ?? row?.label}
      </h1>
      {(record.opened?.training ?? false) && <strong class="cc-training">{words.training}</strong>}
      <p class="small">
        {protocol === null
          ? words.without_protocol
          : `${protocol.title}, version ${protocol.version}`}{" "}
        ·{" "}
        {record.closed_at_ms === null
          ? words.open
          : words.closed(timeOfDayText(record.closed_at_ms, zone.value))}{" "}
        · {words.as_of(timeOfDayText(asOfMs, zone.value))}
      </p>
      {record.unread.length > 0 && <p class="band caution">{chairWords.record_incomplete}</p>}
      {record.closed_at_ms === null && (
        <a class="press" href={to.chair(visit)}>
          {words.to_chair}
        </a>
      )}
    </header>
  );
}

function lookup(record: VisitRecord, entries: Lookup["entries"]): Lookup {
  const byId = new Map(syringes(record).map((one) => [one.syringe, one.contents]));
  return { entries, zone: zone.value, syringe: (id) => byId.get(id) ?? null, staff: staffTitle };
}

function releasedIn(record: VisitRecord, entries: Lookup["entries"]) {
  return record.standing.flatMap((event) =>
    event.kind === "hold_released"
      ? [
          {
            rule: warningText({ ...event, sites: [], basis: null }, entries),
            orderedBy: event.ordered_by,
            reason: event.reason,
          },
        ]
      : [],
  );
}
