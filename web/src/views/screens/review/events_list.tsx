/** Every event with all its versions: what was said first stays readable beside what stands now. */

import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { Logged } from "../../../store/shapes";
import { words } from "../../../strings/review";
import { timeOfDayText } from "../../canal/amounts";
import { Press } from "../chair/press";
import { type Account, changes, payloadAt, standingPayload } from "./correction";
import { fieldName, fieldText, kindText, type Lookup, payloadText } from "./event_text";

const own = words.events;
const QUIET = new Set([
  "timer_set",
  "syringe_picked",
  "guard_spoke",
  "timer_acknowledged",
  "question_answered",
]);
/** Kinds whose payload a person may put right here. */
const MENDABLE = new Set([
  "irrigant_delivered",
  "irrigant_removed",
  "activation_started",
  "activation_stopped",
  "instrument_used",
  "canal_recapitulated",
  "dressing_placed",
  "canal_filled",
  "check_done",
]);

/** The events behind a figure or a finding, and what that is called. */
export interface Shown {
  readonly ids: ReadonlySet<string>;
  readonly title: string;
}

interface EventsProps {
  readonly accounts: readonly Account[];
  readonly seqOf: ReadonlyMap<string, number>;
  readonly look: Lookup;
  /** Only these, while somebody asked for them; null = as usual. */
  readonly shown: Shown | null;
  readonly onShowAll: () => void;
  readonly onCorrect: (account: Account) => void;
  readonly onVoid: (account: Account) => void;
  readonly onRestore: (account: Account) => void;
}

export function EventsList(props: EventsProps): JSX.Element {
  const [all, setAll] = useState(false);
  const { shown } = props;
  const rows = props.accounts.filter(({ original }) =>
    shown === null ? all || !QUIET.has(original.kind) : shown.ids.has(original.id),
  );
  return (
    <>
      {shown === null ? (
        <Press repeats class="press" onPress={() => setAll(!all)}>
          {all ? own.show_acts : own.show_all}
        </Press>
      ) : (
        <p class="cc-shown" role="status">
          <span>{own.behind(rows.length, shown.title)}</span>
          <Press repeats class="press" onPress={props.onShowAll}>
            {own.show_again}
          </Press>
        </p>
      )}
      <ol class="cc-events">
        {rows.map((account) => (
          <EventRow key={account.original.id} account={account} {...props} />
        ))}
      </ol>
    </>
  );
}

function EventRow(props: EventsProps & { readonly account: Account }): JSX.Element {
  const { account, seqOf, look } = props;
  const { original } = account;
  const payload = standingPayload(account);
  const at =
    typeof payload.occurred_at_ms === "number" ? payload.occurred_at_ms : original.occurred_at_ms;
  const seq = seqOf.get(original.id);
  const amended = account.amendments.length > 0;
  return (
    <li class="cc-event">
      <span class="cc-event-seq">
        <span
          class={seq === undefined ? "dot" : "dot is-recorded"}
          role="img"
          aria-label={seq === undefined ? own.pending : own.recorded}
        />{" "}
        {seq ?? ""}
      </span>
      <time>{timeOfDayText(at, look.zone)}</time>
      <span class={account.voided ? "cc-event-what cc-voided" : "cc-event-what"}>
        <b>{kindText(original.kind)}</b> {payloadText(payload, look)}
        {account.voided && <strong> {own.voided}</strong>}
        {original.dated_by_hand === true && <em> {own.by_hand}</em>}
      </span>
      <span class="cc-event-who small soft">{look.staff(original.staff)}</span>
      <span class="cc-event-do">
        {MENDABLE.has(original.kind) && !account.voided && (
          <Press class="cc-small" onPress={() => props.onCorrect(account)}>
            {own.correct}
          </Press>
        )}
        {account.voided ? (
          <Press class="cc-small" onPress={() => props.onRestore(account)}>
            {own.restore}
          </Press>
        ) : (
          MENDABLE.has(original.kind) && (
            <Press class="cc-small" onPress={() => props.onVoid(account)}>
              {own.void}
            </Press>
          )
        )}
      </span>
      {amended && <Versions account={account} look={look} seqOf={seqOf} />}
    </li>
  );
}

function Versions(props: {
  readonly account: Account;
  readonly look: Lookup;
  readonly seqOf: ReadonlyMap<string, number>;
}): JSX.Element {
  const { account, look } = props;
  return (
    <details class="cc-versions" open>
      <summary class="small">{own.versions(account.amendments.length + 1)}</summary>
      <ul>
        {account.amendments.map((amendment) => (
          <Version
            key={amendment.id}
            account={account}
            amendment={amendment}
            look={look}
            stands={amendment.id === account.stands}
          />
        ))}
      </ul>
    </details>
  );
}

function Version(props: {
  readonly account: Account;
  readonly amendment: Logged;
  readonly look: Lookup;
  readonly stands: boolean;
}): JSX.Element {
  const { account, amendment, look, stands } = props;
  const before =
    payloadAt(account, String(amendment.replaces)) ?? payloadAt(account, account.original.id) ?? {};
  const after = amendment.kind === "entry_voided" ? null : (payloadAt(account, amendment.id) ?? {});
  return (
    <li class="small">
      <b>{stands ? own.stands : own.replaced}</b> {kindText(amendment.kind)},{" "}
      {timeOfDayText(amendment.occurred_at_ms, look.zone)}, {look.staff(amendment.staff)}: “
      {String(amendment.reason ?? "")}”
      {after !== null &&
        changes(before, after).map((change) => (
          <span key={change.field} class="cc-change">
            {fieldName(change.field)}: {own.was} <s>{fieldText(change.field, change.was, look)}</s>,{" "}
            {own.now} <b>{fieldText(change.field, change.now, look)}</b>
          </span>
        ))}
    </li>
  );
}
