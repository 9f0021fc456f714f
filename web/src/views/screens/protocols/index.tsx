/** Protocols: the list, and one to read. */

import "./protocols.css";
import type { JSX } from "preact";
import { kitOf, protocols } from "../../../store/clinic";
import { to } from "../../../store/route";
import { words } from "../../../strings/protocols";
import { words as shell } from "../../../strings/shell";
import { Reading } from "./reading";

export default function Protocols({ subject }: { readonly subject: string | null }): JSX.Element {
  return subject === null ? <List /> : <One kit={subject} />;
}

function List(): JSX.Element {
  const rows = protocols.value;
  return (
    <section class="protocols">
      <h1>{words.title}</h1>
      <p class="soft">{rows?.length === 0 ? words.none : words.list_help}</p>
      {rows === null ? <p class="soft">{shell.loading}</p> : null}
      <ul>
        {(rows ?? []).map((row) => (
          <li key={row.kit}>
            <a class="protocol-link" href={to.protocol(row.kit)}>
              <strong>{row.title}</strong>
              <span>{row.purpose}</span>
              <span class="small soft">{words.version(row.version)}</span>
            </a>
          </li>
        ))}
      </ul>
    </section>
  );
}

function One({ kit }: { readonly kit: string }): JSX.Element {
  const state = kitOf(kit).value;
  if (state.at === "here" && state.kit.protocol !== null) {
    return <Reading kit={kit} protocol={state.kit.protocol} catalogue={state.kit.catalogue} />;
  }
  return (
    <section class="protocols">
      <p class="soft">{state.at === "fetching" ? shell.loading : words.none}</p>
      <a class="press" href={to.protocols()}>
        {words.title}
      </a>
    </section>
  );
}
