/** What is needed less often: canals, dressing, notes, who is here, the close, the review. */

import type { JSX } from "preact";
import { to } from "../../../../store/route";
import { words } from "../../../../strings/chair";
import { Sheet as SheetFrame } from "../../../parts/sheet";
import type { Chair, Sheet } from "../chair_state";
import { Press } from "../press";
import { openQuestions } from "./small_sheets";

export function MoreSheet(props: {
  readonly chair: Chair;
  readonly onClose: () => void;
}): JSX.Element {
  const { chair, onClose } = props;
  const record = chair.record.value;
  const open = record === null ? 0 : openQuestions(record, chair.kit.value).length;
  const hand = chair.hand.value;
  const tools: readonly (readonly [string, Sheet])[] = [
    [words.canal.add, { sheet: "new_canal" }],
    [words.rack.add, { sheet: "new_syringe" }],
    ...(hand === null
      ? []
      : [[words.syringe_sheet.read, { sheet: "syringe", syringe: hand.syringe.syringe }] as const]),
    [words.tools.fill, { sheet: "fill" }],
    [words.tools.note, { sheet: "note" }],
    [open > 0 ? words.tools.questions(open) : words.questions.title, { sheet: "questions" }],
    [words.tools.team, { sheet: "team" }],
    [words.tools.protocol, { sheet: "protocol" }],
    [words.tools.close, { sheet: "close" }],
  ];
  return (
    <SheetFrame title={words.menu} onClose={onClose}>
      <nav class="cc-more">
        {tools.map(([text, sheet]) => (
          <Press
            key={sheet.sheet}
            repeats
            class="press wide"
            testid={`sheet-${sheet.sheet}`}
            onPress={() => {
              chair.sheet.value = sheet;
            }}
          >
            {text}
          </Press>
        ))}
        <a class="press wide" href={to.setOut(chair.visit)} onClick={onClose}>
          {words.to_set_out}
        </a>
        <a class="press wide" href={to.review(chair.visit)} onClick={onClose}>
          {words.to_review}
        </a>
      </nav>
    </SheetFrame>
  );
}
