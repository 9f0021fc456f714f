/** Which protocol, or none. Its solutions are laid out as syringes once. */

import type { JSX } from "preact";
import { useEffect } from "preact/hooks";
import { kitOf, kitRows, protocols } from "../../../store/clinic";
import { newId } from "../../../store/commands";
import { to } from "../../../store/route";
import { words } from "../../../strings/open_visit";
import { words as shell } from "../../../strings/shell";
import { change, draft, syringeDraft } from "./draft";
import { Section } from "./section";

export function ProtocolSection(): JSX.Element {
  const { kit } = draft.value;
  const rows = kitRows.value ?? [];
  const listed = protocols.value ?? [];
  useSolutions(kit);
  return (
    <Section title={words.sections.protocol}>
      {rows.length === 0 ? <p class="soft">{shell.loading}</p> : null}
      <fieldset class="protocol-list" aria-label={words.protocol.choose}>
        {rows.map((row) => (
          <button
            key={row.kit}
            type="button"
            class="protocol"
            aria-pressed={kit === row.kit}
            onClick={() => change({ kit: row.kit })}
          >
            <strong>{row.protocol === null ? words.protocol.none : row.title}</strong>
            <span class="small soft">
              {row.protocol === null
                ? words.protocol.none_help
                : listed.find((one) => one.protocol === row.protocol)?.purpose}
            </span>
          </button>
        ))}
      </fieldset>
      {kit === null ? null : <KitLine kit={kit} />}
    </Section>
  );
}

function KitLine({ kit }: { readonly kit: string }): JSX.Element | null {
  const state = kitOf(kit).value;
  if (state.at === "fetching") return <p class="small soft">{words.protocol.fetching}</p>;
  if (state.at === "missing" || state.at === "unknown")
    return <p class="small problem">{words.protocol.unreachable}</p>;
  const { protocol } = state.kit;
  if (protocol === null) return null;
  return (
    <p class="small">
      {words.protocol.version(protocol.version)}, <a href={to.protocol(kit)}>{protocol.title}</a>
    </p>
  );
}

/** Lay out one syringe for each solution of a newly chosen protocol. */
function useSolutions(kit: string | null): void {
  const state = kit === null ? null : kitOf(kit).value;
  const here = state?.at === "here" ? state.kit : null;
  useEffect(() => {
    if (kit === null || here === null || draft.peek().laidOutFrom === kit) return;
    const solutions = here.protocol?.solutions ?? [];
    change({
      laidOutFrom: kit,
      syringes: solutions.map((one) => syringeDraft(newId(), one.contents)),
    });
  }, [kit, here]);
}
