/** What the last appointment left in each canal: it reacts with what comes next. */

import type { JSX } from "preact";
import { words } from "../../../strings/open_visit";
import { words as shell } from "../../../strings/shell";
import { canalText } from "../../canal/amounts";
import { catalogueHere } from "./catalogue";
import { change, draft, type LeftInDraft } from "./draft";
import { Section } from "./section";

const UNKNOWN = "unknown";

export function LeftInSection(): JSX.Element {
  const { canals, leftIn } = draft.value;
  const canAdd = canals.length > 0;
  const add = (): void => {
    const free = canals.find((one) => leftIn.every((left) => left.site !== one.canal)) ?? canals[0];
    if (free === undefined) return;
    change({ leftIn: [...leftIn, leftInDraft(free.canal)] });
  };
  return (
    <Section title={words.sections.left_in} help={words.left_in.help}>
      {leftIn.length === 0 ? <p>{words.left_in.nothing}</p> : null}
      <ul class="left-in">
        {leftIn.map((left, at) => (
          <li key={at}>
            <LeftIn left={left} at={at} />
          </li>
        ))}
      </ul>
      <button type="button" class="press" disabled={!canAdd} onClick={add}>
        {words.left_in.add}
      </button>
    </Section>
  );
}

function LeftIn({ left, at }: { readonly left: LeftInDraft; readonly at: number }): JSX.Element {
  const catalogue = catalogueHere();
  const set = (part: Partial<LeftInDraft>): void =>
    change({
      leftIn: draft.value.leftIn.map((one, index) => (index === at ? { ...one, ...part } : one)),
    });
  const remove = (): void =>
    change({ leftIn: draft.value.leftIn.filter((_one, index) => index !== at) });
  return (
    <div class="left-in-row">
      <label class="field">
        <span>{words.left_in.site}</span>
        <select
          class="entry"
          value={left.site}
          onChange={(event) => set({ site: event.currentTarget.value })}
        >
          {draft.value.canals.map(({ canal }) => (
            <option key={canal} value={canal}>
              {canalText(canal)}
            </option>
          ))}
        </select>
      </label>
      <label class="field">
        <span>{words.left_in.what}</span>
        <select
          class="entry"
          value={left.irrigant}
          onChange={(event) => {
            const irrigant = event.currentTarget.value;
            const kind = catalogue.find((one) => one.irrigant === irrigant)?.kind;
            set({ irrigant, dressing: kind === "dressing", concentrationMgPerL: null });
          }}
        >
          <option value={UNKNOWN}>{words.left_in.unknown_what}</option>
          {catalogue
            .filter((one) => one.irrigant !== UNKNOWN)
            .map((one) => (
              <option key={one.irrigant} value={one.irrigant}>
                {one.title}
              </option>
            ))}
        </select>
      </label>
      <label class="tick">
        <input
          type="checkbox"
          checked={left.dressing}
          onChange={(event) => set({ dressing: event.currentTarget.checked })}
        />
        <span>{words.left_in.dressing}</span>
      </label>
      <button type="button" class="press quiet" onClick={remove}>
        {shell.remove}
      </button>
      {left.carried ? <p class="small soft">{words.left_in.carried}</p> : null}
    </div>
  );
}

function leftInDraft(site: string): LeftInDraft {
  return {
    site,
    irrigant: UNKNOWN,
    concentrationMgPerL: null,
    dressing: true,
    sinceMs: null,
    carried: false,
  };
}
