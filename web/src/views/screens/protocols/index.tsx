/** Protocols: the list, and one to read. */

import "./protocols.css";
import type { JSX } from "preact";
import { kitOf, protocols } from "../../../store/clinic";
import { to } from "../../../store/route";
import { words } from "../../../strings/protocols";
import { words as shell } from "../../../strings/shell";
import { Reading } from "./reading";

export default function Protocols({ subject }: { readonly subject: string | null }): JSX.Element {
  return subject === null ? <List /> : <One asked={subject} />;
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

const DIGEST = /^[0-9a-f]{64}$/;

/** A protocol by its kit's digest, which never changes, or by its name as it stands now. */
function One({ asked }: { readonly asked: string }): JSX.Element {
  const named = protocols.value?.find((row) => row.protocol === asked);
  if (named !== undefined) return <Kept kit={named.kit} />;
  if (DIGEST.test(asked)) return <Kept kit={asked} />;
  return <NoReading text={protocols.value === null ? shell.loading : words.unknown(asked)} />;
}

function Kept({ kit }: { readonly kit: string }): JSX.Element {
  const state = kitOf(kit).value;
  if (state.at === "here" && state.kit.protocol !== null) {
    return <Reading kit={kit} protocol={state.kit.protocol} catalogue={state.kit.catalogue} />;
  }
  if (state.at === "here") return <NoReading text={words.without} />;
  return <NoReading text={KIT_TEXTS[state.at]} />;
}

const KIT_TEXTS = {
  fetching: shell.loading,
  missing: words.missing,
  unknown: words.unknown_kit,
} as const;

function NoReading({ text }: { readonly text: string }): JSX.Element {
  return (
    <section class="protocols">
      <p role="status">{text}</p>
      <a class="press" href={to.protocols()}>
        {words.title}
      </a>
    </section>
  );
}
