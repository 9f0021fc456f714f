/** What is in a barrel: any irrigant of the catalogue with its strength, mixed with up to two others. */

import type { JSX } from "preact";
import type { IrrigantEntry } from "../../core/types.ts";
import { words as all } from "../../strings/open_visit";
import { AmountField } from "./amount_field";
import { MOST_MG_PER_L, MOST_PARTS, type PartDraft, STRENGTH_DIGITS } from "./typed_contents";

const words = all.syringes;

interface ContentsEditorProps {
  readonly parts: readonly PartDraft[];
  readonly catalogue: readonly IrrigantEntry[];
  readonly onChange: (parts: readonly PartDraft[]) => void;
}

export function ContentsEditor(props: ContentsEditorProps): JSX.Element {
  const { parts, catalogue, onChange } = props;
  const set = (at: number, change: Partial<PartDraft>): void =>
    onChange(parts.map((one, index) => (index === at ? { ...one, ...change } : one)));
  const title = (irrigant: string): string =>
    catalogue.find((one) => one.irrigant === irrigant)?.title ?? irrigant;
  return (
    <>
      {parts.map((part, at) => (
        <div key={at} class="syringe-part">
          <label class="field">
            <span>{words.what}</span>
            <select
              class="entry"
              value={part.irrigant}
              onChange={(event) => set(at, { irrigant: event.currentTarget.value, strength: "" })}
            >
              {catalogue.map((one) => (
                <option key={one.irrigant} value={one.irrigant}>
                  {one.title}
                </option>
              ))}
            </select>
          </label>
          <AmountField
            label={words.strength}
            unit={words.basis}
            text={part.strength}
            digits={STRENGTH_DIGITS}
            most={MOST_MG_PER_L}
            onText={(strength) => set(at, { strength })}
          />
          {at === 0 ? null : (
            <button
              type="button"
              class="press quiet"
              onClick={() => onChange(parts.filter((_part, index) => index !== at))}
            >
              {words.unmix(title(part.irrigant))}
            </button>
          )}
        </div>
      ))}
      {parts.length >= MOST_PARTS ? null : (
        <button
          type="button"
          class="press quiet"
          onClick={() => onChange([...parts, { irrigant: "unknown", strength: "" }])}
        >
          {words.mixed}
        </button>
      )}
    </>
  );
}
