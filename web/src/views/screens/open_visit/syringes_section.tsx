/** The syringes to set out: what is in each, how much, with what needle, and the label to write. */

import type { JSX } from "preact";
import { newId } from "../../../store/commands";
import { now } from "../../../store/now";
import { words } from "../../../strings/open_visit";
import { words as shell } from "../../../strings/shell";
import { volumeText } from "../../canal/amounts";
import { Band } from "../../parts/bands";
import { ContentsEditor } from "../../parts/contents_editor";
import { IrrigantCautions } from "../../parts/irrigant_cautions";
import { MarkTile } from "../../parts/mark";
import { Stepper } from "../../parts/stepper";
import { contentsOf } from "../../parts/typed_contents";
import { catalogueHere } from "./catalogue";
import {
  change,
  changeSyringe,
  draft,
  type NeedleTip,
  type SyringeDraft,
  syringeDraft,
} from "./draft";
import { useByMs } from "./opening";
import { Section } from "./section";
import { labelLines, nameOf } from "./syringe_label";

const TIPS = Object.keys(words.syringes.tips) as NeedleTip[];
const UNKNOWN = [{ irrigant: "unknown", concentration_mg_per_l: null }] as const;

export function SyringesSection(): JSX.Element {
  const { syringes } = draft.value;
  const add = (): void => change({ syringes: [...syringes, syringeDraft(newId(), UNKNOWN)] });
  return (
    <Section title={words.sections.syringes} help={words.syringes.help}>
      <Cautions />
      {syringes.length === 0 ? <p>{words.syringes.none}</p> : null}
      <ul class="syringe-list">
        {syringes.map((syringe) => (
          <li key={syringe.key} class="syringe">
            <Syringe syringe={syringe} />
          </li>
        ))}
      </ul>
      <button type="button" class="press" onClick={add}>
        {words.syringes.add}
      </button>
    </Section>
  );
}

function Syringe({ syringe }: { readonly syringe: SyringeDraft }): JSX.Element {
  const catalogue = catalogueHere();
  const set = (part: Partial<SyringeDraft>): void => changeSyringe(syringe.key, part);
  const remove = (): void =>
    change({ syringes: draft.value.syringes.filter((one) => one.key !== syringe.key) });
  const useBy = useByMs(syringe.useBy);
  return (
    <>
      <div class="syringe-head">
        <MarkTile contents={contentsOf(syringe.parts)} catalogue={catalogue} />
        <strong>{nameOf(syringe, catalogue)}</strong>
        <button type="button" class="press quiet" onClick={remove}>
          {shell.remove}
        </button>
      </div>
      {useBy !== null && useBy < now.value ? (
        <Band level="caution" word={words.syringes.passed} />
      ) : null}
      <figure class="label-to-write">
        <figcaption class="small soft">
          {words.syringes.label}. {words.syringes.second_look}
        </figcaption>
        <div class="written">
          {labelLines(syringe, catalogue, now.value).map((line) => (
            <span key={line}>{line}</span>
          ))}
        </div>
      </figure>
      <details open={syringe.parts.some((part) => part.irrigant === "unknown")}>
        <summary>{words.syringes.fill_in}</summary>
        <div class="syringe-figures">
          <ContentsEditor
            parts={syringe.parts}
            catalogue={catalogue}
            onChange={(parts) => set({ parts })}
          />
          <div class="field">
            <span>{words.syringes.volume}</span>
            <Stepper
              label={words.syringes.volume}
              value={syringe.volumeUl}
              step={500}
              least={500}
              most={20_000}
              start={5000}
              mayBeUnknown
              text={volumeText}
              onChange={(volumeUl) => set({ volumeUl })}
            />
          </div>
          <div class="field">
            <span>{words.syringes.gauge}</span>
            <Stepper
              label={words.syringes.gauge}
              value={syringe.gauge}
              step={1}
              least={21}
              most={34}
              start={30}
              mayBeUnknown
              text={(gauge) => `${gauge}\u00a0${words.syringes.gauge_unit}`}
              onChange={(gauge) => set({ gauge })}
            />
          </div>
          <label class="field">
            <span>{words.syringes.tip}</span>
            <select
              class="entry"
              value={syringe.tip ?? ""}
              onChange={(event) =>
                set({ tip: (event.currentTarget.value || null) as NeedleTip | null })
              }
            >
              <option value="">{words.syringes.tip_unknown}</option>
              {TIPS.map((tip) => (
                <option key={tip} value={tip}>
                  {words.syringes.tips[tip]}
                </option>
              ))}
            </select>
          </label>
          <label class="field">
            <span>{words.syringes.lot}</span>
            <input
              class="entry"
              maxLength={120}
              autocomplete="off"
              value={syringe.lot}
              onInput={(event) => set({ lot: event.currentTarget.value })}
            />
          </label>
          <label class="field">
            <span>{words.syringes.use_by}</span>
            <input
              class="entry"
              type="date"
              value={syringe.useBy}
              onInput={(event) => set({ useBy: event.currentTarget.value })}
            />
          </label>
        </div>
      </details>
    </>
  );
}

/** The cautions of what is set out, where it is used. */
function Cautions(): JSX.Element | null {
  const used = draft.value.syringes.flatMap(({ parts }) => parts.map((one) => one.irrigant));
  return <IrrigantCautions used={used} catalogue={catalogueHere()} />;
}
