/** Which tooth. */

import type { JSX } from "preact";
import { toothText } from "../../../store/anatomy";
import { notation } from "../../../store/clinic";
import { changeSettings } from "../../../store/device";
import type { NotationName } from "../../../store/shapes";
import { words as device } from "../../../strings/device";
import { words } from "../../../strings/open_visit";
import { ToothGrid } from "../../parts/tooth_grid";
import { change, chooseTooth, draft } from "./draft";
import { Section } from "./section";

const NOTATIONS: readonly NotationName[] = ["iso3950", "universal", "quadrant"];

export function ToothSection(): JSX.Element {
  const { tooth, primary, course } = draft.value;
  const shown = notation.value;
  if (course !== null && tooth !== null) {
    return (
      <Section title={words.sections.tooth} class="tooth-part">
        <p class="chosen-tooth">{toothText(tooth, shown)}</p>
      </Section>
    );
  }
  return (
    <Section title={words.sections.tooth} class="tooth-part">
      <ToothGrid chosen={tooth} primary={primary} notation={shown} onChoose={chooseTooth} />
      <div class="beside">
        <button type="button" class="press quiet" onClick={() => change({ primary: !primary })}>
          {primary ? words.tooth.permanent : words.tooth.primary}
        </button>
        <label class="field">
          <span>{words.tooth.shown_as}</span>
          <select
            class="entry"
            value={shown}
            onChange={(event) =>
              void changeSettings({ notation: event.currentTarget.value as NotationName })
            }
          >
            {NOTATIONS.map((name) => (
              <option key={name} value={name}>
                {device.notations[name]}
              </option>
            ))}
          </select>
        </label>
      </div>
    </Section>
  );
}
