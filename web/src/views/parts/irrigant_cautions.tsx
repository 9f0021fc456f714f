/** The catalogue's cautions of what is in a syringe, where it is used; hypochlorite's first. */

import type { JSX } from "preact";
import type { IrrigantEntry } from "../../core/types.ts";
import { Band } from "./bands";

export function IrrigantCautions(props: {
  readonly used: readonly string[];
  readonly catalogue: readonly IrrigantEntry[];
}): JSX.Element | null {
  const rank = (entry: IrrigantEntry): number => Number(entry.kind !== "hypochlorite");
  const entries = props.catalogue
    .filter((one) => props.used.includes(one.irrigant) && one.cautions.length > 0)
    .toSorted((one, other) => rank(one) - rank(other));
  if (entries.length === 0) return null;
  return (
    <div class="cautions">
      {entries.map((entry) => (
        <Band
          key={entry.irrigant}
          level={entry.kind === "hypochlorite" ? "caution" : "note"}
          word={entry.title}
        >
          <ul>
            {entry.cautions.map((line) => (
              <li key={line}>{line}</li>
            ))}
          </ul>
        </Band>
      ))}
    </div>
  );
}
