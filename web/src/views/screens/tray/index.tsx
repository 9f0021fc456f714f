/** The tray of refused lines: read by a person, never deleted, blocking nothing. */

import "./tray.css";
import type { JSX } from "preact";
import { zone } from "../../../store/clinic";
import { markRead, tray } from "../../../store/outbox";
import type { RefusedLine } from "../../../store/shapes";
import { words } from "../../../strings/tray";
import { timeOfDayText } from "../../canal/amounts";

export default function Tray(): JSX.Element {
  const lines = tray.value.toSorted((one, other) => other.refused_at_ms - one.refused_at_ms);
  return (
    <section class="refused">
      <h1>{words.title}</h1>
      <p class="soft">{lines.length === 0 ? words.none : words.why}</p>
      <ul>
        {lines.map((line) => (
          <li key={line.id} class="tray">
            <Refused line={line} />
          </li>
        ))}
      </ul>
    </section>
  );
}

function Refused({ line }: { readonly line: RefusedLine }): JSX.Element {
  return (
    <>
      <p>
        <strong>{line.message ?? line.code}</strong>{" "}
        <span class="soft nowrap">{timeOfDayText(line.refused_at_ms, zone.value)}</span>
      </p>
      <dl>
        <Pair word={words.found} value={line.found} />
        <Pair word={words.expected} value={line.expected} />
        <Pair word={words.where} value={line.where} />
      </dl>
      <details>
        <summary>{words.line}</summary>
        <pre>{line.line}</pre>
      </details>
      {line.read ? null : (
        <button type="button" class="press" onClick={() => void markRead(line.id)}>
          {words.read}
        </button>
      )}
    </>
  );
}

function Pair({
  word,
  value,
}: {
  readonly word: string;
  readonly value: string | null;
}): JSX.Element | null {
  if (value === null) return null;
  return (
    <div>
      <dt>{word}</dt>
      <dd>{value}</dd>
    </div>
  );
}
