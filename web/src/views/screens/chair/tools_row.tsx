/** What is needed less often: canals, dressing, notes, open questions, who is here, the close. */

import type { JSX } from "preact";
import { to } from "../../../store/route";
import { words } from "../../../strings/chair";
import type { Chair, Sheet } from "./chair_state";
import { Press } from "./press";
import { openQuestions } from "./sheets/small_sheets";

export function ToolsRow(props: { readonly chair: Chair }): JSX.Element {
  const { chair } = props;
  const record = chair.record.value;
  const open = record === null ? 0 : openQuestions(record, chair.kit.value).length;
  const hand = chair.hand.value;
  const tools: readonly (readonly [string, Sheet])[] = [
    [words.canal.add, { sheet: "new_canal" }],
    [words.tools.fill, { sheet: "fill" }],
    [words.tools.note, { sheet: "note" }],
    [words.tools.team, { sheet: "team" }],
    [words.tools.close, { sheet: "close" }],
  ];
  return (
    <nav class="cc-tools" aria-label={words.menu}>
      {open > 0 && (
        <Tool
          chair={chair}
          text={words.tools.questions(open)}
          sheet={{ sheet: "questions" }}
          urgent
        />
      )}
      {hand !== null && (
        <Tool
          chair={chair}
          text={words.tools.syringe}
          sheet={{ sheet: "syringe", syringe: hand.syringe.syringe }}
        />
      )}
      {tools.map(([text, sheet]) => (
        <Tool key={text} chair={chair} text={text} sheet={sheet} />
      ))}
      <a class="cc-tool" href={to.review(chair.visit)}>
        {words.tools.review}
      </a>
    </nav>
  );
}

function Tool(props: {
  readonly chair: Chair;
  readonly text: string;
  readonly sheet: Sheet;
  readonly urgent?: boolean;
}): JSX.Element {
  return (
    <Press
      repeats
      class={props.urgent ? "cc-tool cc-tool-open" : "cc-tool"}
      testid={`sheet-${props.sheet.sheet}`}
      onPress={() => {
        props.chair.sheet.value = props.sheet;
      }}
    >
      {props.text}
    </Press>
  );
}
