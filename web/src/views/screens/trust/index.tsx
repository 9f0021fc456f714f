/** Connection: what this device lacks, and how another one is brought to trust and open the app. */

import "./trust.css";
import type { JSX } from "preact";
import { useEffect, useState } from "preact/hooks";
import { lost } from "../../../store/secure";
import { connected, server } from "../../../store/server";
import { words } from "../../../strings/trust";
import { Band } from "../../parts/bands";
import { type Connection, codeOf, rowsOf } from "./connection";

type Said = Connection | "waiting" | "away";

export default function Trust(): JSX.Element {
  const [said, setSaid] = useState<Said>("waiting");
  const isConnected = connected.value;
  useEffect(() => {
    let current = true;
    server()
      .get<Connection>("/connection")
      .then(
        (answer) => current && setSaid(answer),
        () => current && setSaid((before) => (typeof before === "string" ? "away" : before)),
      );
    return () => {
      current = false;
    };
  }, [isConnected]);
  return (
    <section class="trust">
      <h1>{words.title}</h1>
      <Here trust={typeof said === "string" ? undefined : said.trust[0]} />
      {said === "waiting" ? <p class="soft">{words.waiting}</p> : null}
      {said === "away" ? <p>{words.away}</p> : null}
      {typeof said === "string" ? null : <There said={said} />}
    </section>
  );
}

function Here({ trust }: { readonly trust: string | undefined }): JSX.Element {
  const lacks = lost.value;
  return (
    <div class="tray">
      <h2>{words.here}</h2>
      <p>{lacks === null ? words.has_all : words.lacks[lacks]}</p>
      {lacks === null || lacks === "old" || trust === undefined ? null : (
        <a class="press" href={trust}>
          {words.steps_here}
        </a>
      )}
    </div>
  );
}

function There({ said }: { readonly said: Connection }): JSX.Element {
  const byAuthority = said.trust.length > 0;
  return (
    <>
      {said.notices.map((notice) => (
        <Band key={notice.code} level="caution" word={words.notices[notice.code](notice.about)} />
      ))}
      <p>
        {words.modes[said.mode]} {said.ends_at_ms === null ? null : endsText(said.ends_at_ms)}{" "}
        {said.mode === "authority" ? words.renewed : null}
      </p>
      {byAuthority ? (
        <div class="tray">
          <h2>{words.step_trust}</h2>
          <p>{words.step_trust_help}</p>
          <Code of="trust" addresses={said.trust} />
          {said.fingerprint === null ? null : <Fingerprint pairs={said.fingerprint} />}
        </div>
      ) : null}
      <div class="tray">
        <h2>{byAuthority ? words.step_open : words.step_open_alone}</h2>
        {said.addresses.length === 0 ? (
          <p>{words.no_address}</p>
        ) : (
          <>
            <p>{words.step_open_help}</p>
            <Code of="app" addresses={said.addresses} />
          </>
        )}
      </div>
    </>
  );
}

function Fingerprint({ pairs }: { readonly pairs: string }): JSX.Element {
  return (
    <>
      <p>{lost.value === null ? words.fingerprint : words.fingerprint_doubt}</p>
      <p class="fingerprint" translate={false}>
        {rowsOf(pairs).map((row) => (
          <span key={row}>{row} </span>
        ))}
      </p>
    </>
  );
}

interface CodeProps {
  readonly of: "app" | "trust";
  readonly addresses: readonly string[];
}

/** One code at a time, so that a camera does not read its neighbour. */
function Code({ of, addresses }: CodeProps): JSX.Element | null {
  const [picked, setPicked] = useState(0);
  const at = Math.min(picked, addresses.length - 1);
  const address = addresses[at];
  if (address === undefined) return null;
  return (
    <>
      <img class="code" src={codeOf(of, at)} alt={words.code_of(address)} />
      <p class="address">
        <strong>{address}</strong>
      </p>
      {addresses.map((other, index) =>
        index === at ? null : (
          <button key={other} type="button" class="press quiet" onClick={() => setPicked(index)}>
            {words.other(other)}
          </button>
        ),
      )}
    </>
  );
}

function endsText(atMs: number): string {
  return words.ends(new Date(atMs).toISOString().slice(0, 10));
}
