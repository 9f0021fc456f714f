/** Who is at this device, whether the server is heard, and how much waits: on every screen. */

import type { JSX } from "preact";
import { clinic, person } from "../../store/clinic";
import { outbox, unreadRefusals } from "../../store/outbox";
import { to } from "../../store/route";
import { connected } from "../../store/server";
import { words } from "../../strings/shell";

export function Status(): JSX.Element {
  return (
    <span class="status">
      <Link />
      <Who />
    </span>
  );
}

export function Who(): JSX.Element {
  const here = person.value;
  const text = here?.title ?? words.staff.nobody;
  return (
    <a class={here === null ? "press main who" : "press who"} href={to.who()}>
      <span class="unseen">{words.staff.here}: </span>
      {text}
    </a>
  );
}

export function Link(): JSX.Element {
  const waiting = outbox.value.length;
  const refused = unreadRefusals.value;
  const away = !connected.value && clinic.value !== null;
  return (
    <span class={away ? "link small is-away" : "link small"}>
      <span role="status">
        <span class={waiting === 0 ? "dot is-recorded" : "dot"} aria-hidden="true" />{" "}
        {waiting > 0 ? (
          <span title={words.link.pending_long(waiting)}>{words.link.pending(waiting)}</span>
        ) : (
          <span class={away ? "" : "unseen"}>{away ? words.link.away : words.link.connected}</span>
        )}
      </span>
      {refused > 0 ? <a href={to.refused()}>{words.link.refused(refused)}</a> : null}
    </span>
  );
}
