/** The sheet's place while a visit is being opened: folded, and asked only when it is looked at. */

import type { JSX } from "preact";
import { useState } from "preact/hooks";
import { kitOf } from "../../../store/clinic";
import { words } from "../../../strings/set_out";
import { draft } from "../open_visit/draft";
import { Section } from "../open_visit/section";
import { askedOfDraft } from "./asking";
import { SetOutSheet } from "./sheet";

export function SetOutSection(): JSX.Element | null {
  const [open, setOpen] = useState(false);
  const { kit: digest } = draft.value;
  const state = digest === null ? null : kitOf(digest).value;
  const kit = state?.at === "here" ? state.kit : null;
  const asked = askedOfDraft(draft.value, kit);
  if (asked === null) return null;
  return (
    <Section title={words.title} help={words.help}>
      <button
        type="button"
        class="press"
        aria-expanded={open}
        data-testid="set-out"
        onClick={() => setOpen(!open)}
      >
        {words.open}
      </button>
      {open ? <SetOutSheet asked={asked} catalogue={kit?.catalogue.irrigants ?? []} /> : null}
    </Section>
  );
}
