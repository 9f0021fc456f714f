/**
 * The incident card: its clock, first steps as published, and what each canal was given up to then.
 *
 * Opening it has started the clock; nothing is asked first. It works without the server, from the
 * card that this device keeps.
 */

import type { JSX } from "preact";
import { useEffect, useState } from "preact/hooks";
import "./incident.css";
import { zone } from "../../../store/clinic";
import { log } from "../../../store/commands";
import { now } from "../../../store/now";
import { kitOfVisit, recordOf } from "../../../store/records";
import { go, to } from "../../../store/route";
import { visitRow, watch } from "../../../store/visits";
import { words as chairWords } from "../../../strings/chair";
import { words } from "../../../strings/incident";
import { elapsedText, flowText, massText, timeOfDayText, volumeText } from "../../canal/amounts";
import { type Entry, markOf } from "../../canal/marks";
import { Judgement } from "../../parts/judgement";
import { MarkTile } from "../../parts/mark";
import { Press } from "../chair/press";
import { siteText } from "../chair/texts";
import { type Card, cardKept, fetchCard } from "./card";
import { declareIncident } from "./declare";
import { declaredIncident, type Given, type IncidentCard, incidentCard } from "./incident_model";

export default function Incident({
  subject,
}: {
  readonly subject: string | null;
}): JSX.Element | null {
  return subject === null ? null : <IncidentScreen visit={subject} />;
}

function IncidentScreen({ visit }: { readonly visit: string }): JSX.Element {
  useEffect(() => watch(visit), [visit]);
  const [failure, setFailure] = useState<string | null>(null);
  const record = recordOf(visit).value;
  const declared = record === null ? null : declaredIncident(record);
  useEffect(() => {
    if (record !== null && declared === null) {
      declareIncident(visit, record).catch((found: unknown) => setFailure(String(found)));
    }
  }, [visit, record === null, declared === null]);
  const entries = kitOfVisit(visit).value?.catalogue.irrigants ?? [];
  const row = visitRow(visit);
  return (
    <main class="cc-incident-screen">
      <header>
        <h1>{words.title}</h1>
        <p>
          {row === null ? "" : `${chairWords.tooth(row.tooth)} · ${row.label}`}
          {row?.training && <strong class="cc-training"> {chairWords.training}</strong>}
        </p>
        <a class="press" href={to.chair(visit)}>
          {words.back}
        </a>
      </header>
      {failure !== null && <p role="alert">{failure}</p>}
      {record !== null && declared !== null && <Clock card={incidentCard(record, declared)} />}
      <FirstSteps />
      {record !== null && declared !== null && (
        <>
          <GivenTable card={incidentCard(record, declared)} entries={entries} />
          <Signs
            visit={visit}
            sites={record.canals.map((one) => one.canal)}
            noted={notedOf(record.standing)}
          />
        </>
      )}
      {declared !== null && <Mistake visit={visit} declared={declared.id} />}
      <p class="soft small">{words.stays_open}</p>
      <Judgement />
    </main>
  );
}

/** A slip is taken back openly: the declaration stays readable as voided. */
function Mistake(props: { readonly visit: string; readonly declared: string }): JSX.Element {
  return (
    <Press
      class="press quiet"
      onPress={() => {
        go(to.chair(props.visit));
        void log(props.visit, {
          kind: "entry_voided",
          entry: props.declared,
          replaces: props.declared,
          reason: words.undeclare_reason,
        });
      }}
    >
      {words.undeclare}
    </Press>
  );
}

function notedOf(events: readonly { readonly kind: string }[]): ReadonlySet<string> {
  return new Set(
    events.flatMap((event) =>
      event.kind === "incident_noted" && "what" in event ? [String(event.what)] : [],
    ),
  );
}

function Clock({ card }: { readonly card: IncidentCard }): JSX.Element {
  return (
    <section class="cc-incident-clock">
      <b role="timer">{elapsedText(now.value - card.fromMs)}</b>
      <span>{words.first_sign(timeOfDayText(card.fromMs, zone.value))}</span>
    </section>
  );
}

function FirstSteps(): JSX.Element {
  const [card, setCard] = useState<Card | null>(cardKept());
  useEffect(() => {
    void fetchCard().then((fetched) => {
      if (fetched !== null) setCard(fetched);
    });
  }, []);
  if (card === null) return <p class="band caution">{words.no_card}</p>;
  return (
    <section>
      <h2>{words.steps}</h2>
      <p class="cc-not-approved">{card.approved ? words.approved : words.not_approved}</p>
      <ol class="cc-steps">
        {card.steps.map((step) => (
          <li key={step}>{step}</li>
        ))}
      </ol>
      <details class="small">
        <summary>{words.sources}</summary>
        <ul>
          {card.sources.map((source) => (
            <li key={source}>{source}</li>
          ))}
        </ul>
      </details>
    </section>
  );
}

function GivenTable(props: {
  readonly card: IncidentCard;
  readonly entries: readonly Entry[];
}): JSX.Element {
  const { card, entries } = props;
  return (
    <section>
      <h2>{words.given}</h2>
      {card.given.length === 0 && <p>{words.none_given}</p>}
      <ul class="cc-given">
        {card.given.map((given) => (
          <li key={`${given.site} ${markOf(given.contents, entries).short}`}>
            <b>{siteText(given.site)}</b>
            <MarkTile contents={given.contents} catalogue={entries} />
            <span>
              {markOf(given.contents, entries).short}: <b>{amountText(given)}</b>
              <small>{lastText(given)}</small>
            </span>
          </li>
        ))}
      </ul>
      <p class="cc-beyond">{words.beyond_apex}</p>
      <p class="small soft">{words.tooth_total}</p>
      <ul class="cc-given">
        {card.tooth.map((given) => (
          <li key={markOf(given.contents, entries).short}>
            <MarkTile contents={given.contents} catalogue={entries} />
            <span>
              {markOf(given.contents, entries).short}: {amountText(given)}
            </span>
          </li>
        ))}
      </ul>
    </section>
  );
}

function amountText(given: Omit<Given, "last" | "site">): string {
  const mass =
    given.passedNg === null || given.passedNg === 0 ? "" : ` = ${massText(given.passedNg)}`;
  const text = volumeText(given.volumeUl) + mass;
  if (given.atLeast && given.volumeUl === 0) return words.amount_unknown;
  if (given.atLeast) return words.at_least(text);
  return given.about ? words.about(text) : text;
}

function lastText({ last }: Given): string {
  const time = timeOfDayText(last.endMs, zone.value);
  if (last.volumeUl === null) return words.last_no_flow(words.amount_unknown, time);
  const flow = flowText(last.volumeUl, last.durationMs);
  const amount = volumeText(last.volumeUl);
  return flow === null ? words.last_no_flow(amount, time) : words.last(amount, flow, time);
}

/** What was seen, one tap each, with an optional note; nothing has to be said. */
function Signs(props: {
  readonly visit: string;
  readonly sites: readonly string[];
  readonly noted: ReadonlySet<string>;
}): JSX.Element {
  const [site, setSite] = useState<string | null>(null);
  const [text, setText] = useState("");
  const note = (what: string, words: string | null): void => {
    void log(props.visit, { kind: "incident_noted", what, site, text: words });
  };
  return (
    <section class="cc-signs">
      <h2>{words.what}</h2>
      <p class="small soft">{words.where}</p>
      <div class="choices">
        {props.sites.map((one) => (
          <Press
            key={one}
            repeats
            class="press"
            pressed={site === one}
            onPress={() => setSite(site === one ? null : one)}
          >
            {siteText(one)}
          </Press>
        ))}
      </div>
      <div class="choices">
        {Object.entries(words.signs).map(([what, sign]) => (
          <Press
            key={what}
            class="press"
            pressed={props.noted.has(what)}
            onPress={() => note(what, null)}
          >
            {sign}
          </Press>
        ))}
      </div>
      <label class="field">
        <span>{words.note}</span>
        <textarea
          class="entry"
          rows={2}
          maxLength={4000}
          value={text}
          onInput={(event) => setText(event.currentTarget.value)}
        />
      </label>
      <Press
        class="press"
        disabled={text.trim() === ""}
        onPress={() => {
          note("note", text.trim());
          setText("");
        }}
      >
        {words.keep}
      </Press>
    </section>
  );
}
