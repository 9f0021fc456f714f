/** The teeth as they face the person at the chair; one tap chooses. */

import "../style/forms.css";
import type { JSX } from "preact";
import { jaws, toothText } from "../../store/anatomy";
import type { NotationName } from "../../store/shapes";
import { words } from "../../strings/open_visit";

export interface ToothGridProps {
  readonly chosen: string | null;
  readonly primary: boolean;
  readonly notation: NotationName;
  readonly onChoose: (tooth: string) => void;
}

export function ToothGrid({ chosen, primary, notation, onChoose }: ToothGridProps): JSX.Element {
  const [upper = [], lower = []] = jaws(primary);
  const sides = words.tooth;
  return (
    <fieldset class="teeth" aria-label={words.sections.tooth}>
      <Sides right={sides.upper_right} left={sides.upper_left} />
      {[upper, lower].map((jaw) => (
        <div class={primary ? "jaw is-primary" : "jaw"} key={jaw[0]?.[0]}>
          {jaw.map((side) => (
            <div class={`half is-${side[0]?.[0]}`} key={side[0]}>
              {side.map((tooth) => (
                <button
                  key={tooth}
                  type="button"
                  class="tooth"
                  aria-pressed={tooth === chosen}
                  onClick={() => onChoose(tooth)}
                >
                  {toothText(tooth, notation)}
                </button>
              ))}
            </div>
          ))}
        </div>
      ))}
      <Sides right={sides.lower_right} left={sides.lower_left} />
    </fieldset>
  );
}

function Sides({ right, left }: { readonly right: string; readonly left: string }): JSX.Element {
  return (
    <div class="side">
      <span>{right}</span>
      <span>{left}</span>
    </div>
  );
}
