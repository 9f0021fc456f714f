/** Label, room, dentist, training. */

import type { JSX } from "preact";
import { clinic } from "../../../store/clinic";
import { looksLikeName } from "../../../store/typed";
import { words } from "../../../strings/open_visit";
import { Band } from "../../parts/bands";
import { Choices } from "../../parts/choices";
import { change, draft } from "./draft";
import { labelProblems } from "./opening";
import { Section } from "./section";

export function WhoSection(): JSX.Element {
  const { label, room, operator, training } = draft.value;
  const dentists = (clinic.value?.staff ?? []).filter((one) => one.role === "dentist");
  const problem = label === "" ? undefined : labelProblems(label)[0];
  return (
    <Section title={words.sections.who}>
      <label class="field">
        <span>{words.label.field}</span>
        <input
          class="entry"
          value={label}
          autocomplete="off"
          autocapitalize="characters"
          spellcheck={false}
          aria-invalid={problem !== undefined}
          onInput={(event) => change({ label: event.currentTarget.value })}
        />
        <span class={problem === undefined ? "small soft" : "problem small"}>
          {problem ?? words.label.help}
        </span>
      </label>
      {looksLikeName(label) ? <Band level="caution" word={words.label.looks_like_name} /> : null}
      <Choices
        label={words.room}
        options={(clinic.value?.rooms ?? []).map((one) => ({ value: one.room, text: one.title }))}
        value={room}
        onPick={(value) => change({ room: value })}
      />
      <Choices
        label={words.operator}
        options={[
          ...dentists.map((one) => ({ value: one.staff, text: one.title })),
          { value: "", text: words.operator_none },
        ]}
        value={operator ?? ""}
        onPick={(value) => change({ operator: value === "" ? null : value })}
      />
      <label class="tick">
        <input
          type="checkbox"
          checked={training}
          onChange={(event) => change({ training: event.currentTarget.checked })}
        />
        <span>{words.training}</span>
      </label>
    </Section>
  );
}
