/** The protocol is changed in mid-visit: to which, and why. What was logged before stays as it is. */

import type { JSX } from "preact";
import { useState } from "preact/hooks";
import { kitOf, kitRows } from "../../../../store/clinic";
import type { Draft } from "../../../../store/commands";
import { words } from "../../../../strings/chair";
import { Sheet } from "../../../parts/sheet";
import { Choice } from "../choice";
import { named } from "./canal_sheet";

const own = words.protocol_sheet;

interface ProtocolSheetProps {
  /** Digest of the kit in use. */
  readonly kit: string | null;
  readonly onLog: (drafts: readonly Draft[], text: string) => void;
  readonly onClose: () => void;
}

export function ProtocolSheet(props: ProtocolSheetProps): JSX.Element {
  const [chosen, setChosen] = useState<string | null>(null);
  const offers = (kitRows.value ?? [])
    .filter((row) => row.kit !== props.kit && kitOf(row.kit).value.at === "here")
    .map((row): [string, string] => [row.kit, row.protocol === null ? own.without : row.title]);
  return (
    <Sheet title={own.title} onClose={props.onClose}>
      <div class="cc-form">
        <p class="small soft">{offers.length === 0 ? own.offline : own.help}</p>
        {offers.length > 0 && (
          <Choice what={own.which} value={chosen} options={offers} onChoose={setChosen} />
        )}
        {chosen !== null && (
          <Choice
            what={own.why}
            value={null}
            options={named(own.reasons)}
            onChoose={(key) => {
              props.onLog(
                [{ kind: "protocol_changed", kit: chosen, reason: own.reasons[key] }],
                own.title,
              );
              props.onClose();
            }}
          />
        )}
      </div>
    </Sheet>
  );
}
