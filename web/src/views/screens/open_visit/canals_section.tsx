/** The canals: suggested for the tooth, taken away, added under any name, measured when known. */

import { signal } from "@preact/signals";
import type { JSX } from "preact";
import { suggestionFor } from "../../../store/anatomy";
import { words } from "../../../strings/open_visit";
import { words as shell } from "../../../strings/shell";
import { canalText, depthText, sizeText, taperText } from "../../canal/amounts";
import { Stepper } from "../../parts/stepper";
import { type CanalDraft, canalDraft, change, changeCanal, draft } from "./draft";
import { Section } from "./section";

/** Sizes of ISO 3630-1, as hand files are sold. */
const SIZES = [
  6, 8, 10, 15, 20, 25, 30, 35, 40, 45, 50, 55, 60, 70, 80, 90, 100, 110, 120, 130, 140,
];
const NAME = /^[a-z0-9][a-z0-9_-]{0,23}$/;
const typedName = signal("");

export function CanalsSection(): JSX.Element {
  const { canals, tooth, course } = draft.value;
  const usual = tooth === null ? null : suggestionFor(tooth);
  const also = usual?.also.filter((name) => canals.every((one) => one.canal !== name)) ?? [];
  return (
    <Section
      title={words.sections.canals}
      help={course === null ? words.canals.help : words.canals.carried}
    >
      {usual === null ? null : (
        <p class="small soft">{words.canals.usual(range(usual.least, usual.most))}</p>
      )}
      {canals.length === 0 ? <p>{words.canals.none}</p> : null}
      <ul class="canal-list">
        {canals.map((canal) => (
          <li key={canal.canal}>
            <Canal canal={canal} />
          </li>
        ))}
      </ul>
      {also.length === 0 ? null : (
        <div class="field">
          <span>{words.canals.also}</span>
          <div class="choices">
            {also.map((name) => (
              <button key={name} type="button" class="choice" onClick={() => add(name)}>
                + {canalText(name)}
              </button>
            ))}
          </div>
        </div>
      )}
      <AddCanal />
    </Section>
  );
}

function AddCanal(): JSX.Element {
  const name = typedName.value.trim().toLowerCase();
  const problem = name === "" ? null : nameProblem(name);
  const take = (event: Event): void => {
    event.preventDefault();
    if (name === "" || problem !== null) return;
    add(name);
    typedName.value = "";
  };
  return (
    <form class="add-canal" onSubmit={take}>
      <label class="field">
        <span>{words.canals.add}</span>
        <input
          class="entry"
          placeholder={words.canals.add_help}
          autocomplete="off"
          spellcheck={false}
          value={typedName.value}
          aria-invalid={problem !== null}
          onInput={(event) => {
            typedName.value = event.currentTarget.value;
          }}
        />
      </label>
      <button type="submit" class="press" disabled={name === "" || problem !== null}>
        {shell.add}
      </button>
      {problem === null ? null : <p class="problem small">{problem}</p>}
    </form>
  );
}

function Canal({ canal }: { readonly canal: CanalDraft }): JSX.Element {
  const name = canalText(canal.canal);
  const set = (part: Partial<CanalDraft>): void => changeCanal(canal.canal, part);
  const remove = (): void =>
    change({
      canals: draft.value.canals.filter((one) => one.canal !== canal.canal),
      leftIn: draft.value.leftIn.filter((one) => one.site !== canal.canal),
    });
  return (
    <details>
      <summary>
        <strong>{name}</strong>
        <span class="soft">{summary(canal)}</span>
      </summary>
      <div class="canal-figures">
        <Figure label={words.canals.length}>
          <Stepper
            label={`${name} ${words.canals.length}`}
            value={canal.workingLengthUm}
            step={500}
            least={5000}
            most={35_000}
            start={20_000}
            mayBeUnknown
            text={depthText}
            onChange={(value) => set({ workingLengthUm: value })}
          />
        </Figure>
        <Figure label={words.canals.size}>
          <Stepper
            label={`${name} ${words.canals.size}`}
            value={canal.apicalSize === null ? null : SIZES.indexOf(nearest(canal.apicalSize))}
            step={1}
            least={0}
            most={SIZES.length - 1}
            start={SIZES.indexOf(25)}
            mayBeUnknown
            text={(at) => sizeText(SIZES[at] ?? 0)}
            onChange={(at) => set({ apicalSize: at === null ? null : (SIZES[at] ?? null) })}
          />
        </Figure>
        <Figure label={words.canals.taper}>
          <Stepper
            label={`${name} ${words.canals.taper}`}
            value={canal.taperUmPerMm}
            step={10}
            least={0}
            most={120}
            start={40}
            mayBeUnknown
            text={taperText}
            onChange={(value) => set({ taperUmPerMm: value })}
          />
        </Figure>
        <Figure label={words.canals.orifice}>
          <Stepper
            label={`${name} ${words.canals.orifice}`}
            value={canal.orificeUm}
            step={500}
            least={0}
            most={20_000}
            start={9000}
            mayBeUnknown
            text={depthText}
            onChange={(value) => set({ orificeUm: value })}
          />
        </Figure>
        <label class="field">
          <span>{words.canals.reference}</span>
          <input
            class="entry"
            maxLength={120}
            value={canal.reference}
            placeholder={words.canals.unknown_first}
            onInput={(event) => set({ reference: event.currentTarget.value })}
          />
        </label>
        <button type="button" class="press" onClick={remove}>
          {shell.remove} {name}
        </button>
      </div>
    </details>
  );
}

function Figure(props: { readonly label: string; readonly children: JSX.Element }): JSX.Element {
  return (
    <div class="field">
      <span>{props.label}</span>
      {props.children}
    </div>
  );
}

function summary(canal: CanalDraft): string {
  const known = [
    canal.workingLengthUm === null ? null : depthText(canal.workingLengthUm),
    canal.apicalSize === null
      ? null
      : `${words.canals.size.toLowerCase()} ${sizeText(canal.apicalSize)}`,
    canal.taperUmPerMm === null ? null : taperText(canal.taperUmPerMm),
  ].filter((text) => text !== null);
  return known.length === 0 ? words.canals.unknown_first : known.join(", ");
}

function add(name: string): void {
  change({ canals: [...draft.value.canals, canalDraft(name)] });
}

function nameProblem(name: string): string | null {
  if (name === "chamber") return words.canals.reserved;
  if (!NAME.test(name)) return words.canals.bad_name;
  const taken = draft.value.canals.some((one) => one.canal === name);
  return taken ? words.canals.taken(canalText(name)) : null;
}

/** A carried size that is none of the standard's stands at the next one below. */
function nearest(size: number): number {
  return SIZES.findLast((one) => one <= size) ?? 6;
}

function range(least: number, most: number): string {
  return least === most ? String(least) : `${least} to ${most}`;
}
