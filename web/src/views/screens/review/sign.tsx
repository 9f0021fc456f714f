/**
 * The signature: a dentist, online, for one head of the record with the totals that were shown.
 *
 * A head that moved is refused by the server; what came since is then shown before anything else.
 */

import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { Totals } from "../../../core/types.ts";
import { person, staffTitle } from "../../../store/clinic";
import { to } from "../../../store/route";
import { connected, NotConnected, Refusal, server, serverVersion } from "../../../store/server";
import type { Head, Entry as Recorded } from "../../../store/shapes";
import { words } from "../../../strings/review";
import { timeOfDayText } from "../../canal/amounts";
import { Press } from "../chair/press";
import { kindText, type Lookup, payloadText } from "./event_text";
import type { VisitView } from "./report";

const own = words.sign;

interface SignProps {
  readonly visit: string;
  readonly head: Head | null;
  readonly entries: readonly Recorded[];
  readonly pending: number;
  readonly totals: Totals;
  readonly foldVersion: number | string | null;
  readonly view: VisitView | null;
  readonly isOpen: boolean;
  readonly released: readonly {
    readonly rule: string;
    readonly orderedBy: string;
    readonly reason: string;
  }[];
  readonly look: Lookup;
  readonly onSigned: () => void;
}

export function Sign(props: SignProps): JSX.Element {
  const { view, look, entries } = props;
  const signatures = view?.signatures ?? [];
  const lastSigned = Math.max(0, ...signatures.map((one) => one.seq));
  const later = entries.filter((entry) => entry.seq > lastSigned).length;
  return (
    <div class="cc-sign">
      {signatures.map((one) => (
        <p key={one.seq} class="cc-signature">
          {own.signed(staffTitle(one.staff), timeOfDayText(one.signed_at_ms, look.zone), one.seq)}{" "}
          {one.addendum && <b>{own.is_addendum}</b>}
          <code>{one.digest.slice(0, 12)}</code>
        </p>
      ))}
      {signatures.length > 0 && later > 0 && <p class="band note">{own.awaits(later)}</p>}
      {(view?.devices ?? [])
        .filter((device) => device.gaps.length > 0)
        .map((device) => (
          <p key={device.device} class="band caution">
            {own.gaps(
              device.device.slice(-6),
              device.gaps
                .map(([from, last]) => (from === last ? `${from}` : `${from}–${last}`))
                .join(", "),
            )}
          </p>
        ))}
      {props.released.length > 0 && <p>{own.released}</p>}
      {props.released.map((one) => (
        <p key={`${one.rule} ${one.reason}`} class="cc-released">
          {own.released_by(one.rule, staffTitle(one.orderedBy), one.reason)}
        </p>
      ))}
      {(signatures.length === 0 || later > 0) && (
        <SignNow {...props} addendum={signatures.length > 0} />
      )}
      <p class="small soft">{own.judgement}</p>
    </div>
  );
}

function SignNow(props: SignProps & { readonly addendum: boolean }): JSX.Element {
  const { visit, head, pending, totals, foldVersion, entries, look } = props;
  const [busy, setBusy] = useState(false);
  const [refused, setRefused] = useState<string | null>(null);
  const [movedFrom, setMovedFrom] = useState<number | null>(null);
  const here = person.value;
  if (here?.role !== "dentist") {
    return (
      <p>
        {own.only_dentist} <b>{here?.title ?? own.nobody}</b>{" "}
        <a class="press" href={to.who()}>
          {own.change}
        </a>
      </p>
    );
  }
  if (!connected.value) return <p>{own.offline}</p>;
  if (pending > 0) return <p role="status">{own.pending(pending)}</p>;
  if (props.isOpen) return <p>{own.open_visit}</p>;
  if (head === null || head.digest === "" || foldVersion === null) return <p>{own.offline}</p>;
  const since = movedFrom === null ? [] : entries.filter((entry) => entry.seq > movedFrom);
  const sign = async (): Promise<void> => {
    setBusy(true);
    setRefused(null);
    try {
      await server().sign(visit, {
        staff: here.staff,
        seq: head.seq,
        digest: head.digest,
        fold_version: foldVersion,
        totals,
      });
      props.onSigned();
    } catch (found) {
      if (found instanceof Refusal && found.status === 409) {
        setMovedFrom(head.seq);
        await server()
          .refresh(visit)
          .catch(() => undefined);
      } else if (found instanceof Refusal) setRefused(refusalText(found));
      else if (found instanceof NotConnected) setRefused(own.offline);
      else throw found;
    } finally {
      setBusy(false);
    }
  };
  if (movedFrom !== null) {
    return (
      <div class="band caution" role="alert">
        <p class="lines">{own.moved}</p>
        <ul class="lines">
          {since.map(({ seq, event }) => (
            <li key={seq}>
              {seq} {timeOfDayText(event.occurred_at_ms, look.zone)} {kindText(event.kind)}{" "}
              {payloadText(event, look)}
            </li>
          ))}
        </ul>
        <Press class="press lines" onPress={() => setMovedFrom(null)}>
          {own.look_again}
        </Press>
      </div>
    );
  }
  return (
    <div class="cc-sign-now">
      <p>{own.says}</p>
      <p>
        <code>{own.head(head.seq, head.digest.slice(0, 12))}</code>{" "}
        <code>{own.version(String(serverVersion.value?.fold_version ?? foldVersion))}</code>
      </p>
      {refused !== null && (
        <p role="alert" class="band caution">
          {own.refused(refused)}
        </p>
      )}
      <Press class="press main wide" disabled={busy} testid="sign" onPress={() => void sign()}>
        {busy ? own.signing : props.addendum ? own.addendum : own.do}
      </Press>
    </div>
  );
}

function refusalText(refusal: Refusal): string {
  const more = [
    refusal.found === null ? "" : `${own.found} ${refusal.found}`,
    refusal.expected === null ? "" : `${own.expected} ${refusal.expected}`,
  ].filter((part) => part !== "");
  return [refusal.message, ...more].join("; ");
}
