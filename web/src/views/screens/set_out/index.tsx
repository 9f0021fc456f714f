/** The set-out sheet by itself: of a visit on record, or of the one that is being opened. */

import type { JSX } from "preact";
import { useEffect } from "preact/hooks";
import { kitOf } from "../../../store/clinic";
import { kitDigestOf, kitOfVisit, recordOf } from "../../../store/records";
import { to } from "../../../store/route";
import { watch } from "../../../store/visits";
import { words } from "../../../strings/set_out";
import { draft } from "../open_visit/draft";
import { askedOfDraft, askedOfRecord } from "./asking";
import type { SetOutAsked } from "./shapes";
import { SetOutSheet, type SheetProps } from "./sheet";

export default function SetOut({ subject }: { readonly subject: string | null }): JSX.Element {
  return subject === null ? <OfOpening /> : <OfVisit visit={subject} />;
}

function OfVisit({ visit }: { readonly visit: string }): JSX.Element {
  useEffect(() => watch(visit), [visit]);
  const kit = kitOfVisit(visit).value;
  const asked = askedOfRecord(kitDigestOf(visit).value, kit, recordOf(visit).value);
  return (
    <Frame
      back={to.chair(visit)}
      text={words.back}
      asked={asked}
      nothing={words.no_protocol}
      catalogue={kit?.catalogue.irrigants ?? []}
    />
  );
}

function OfOpening(): JSX.Element {
  const { kit: digest } = draft.value;
  const state = digest === null ? null : kitOf(digest).value;
  const kit = state?.at === "here" ? state.kit : null;
  return (
    <Frame
      back={to.open()}
      text={words.back_opening}
      asked={askedOfDraft(draft.value, kit)}
      nothing={words.needs_protocol}
      catalogue={kit?.catalogue.irrigants ?? []}
    />
  );
}

function Frame(props: {
  readonly back: string;
  readonly text: string;
  readonly asked: SetOutAsked | null;
  readonly nothing: string;
  readonly catalogue: SheetProps["catalogue"];
}): JSX.Element {
  const { back, text, asked, nothing, catalogue } = props;
  return (
    <article>
      <h1>{words.title}</h1>
      <p class="soft">{words.help}</p>
      {asked === null ? <p>{nothing}</p> : <SetOutSheet asked={asked} catalogue={catalogue} />}
      <p>
        <a class="press" href={back}>
          {text}
        </a>{" "}
        <button type="button" class="press" onClick={() => print()}>
          {words.print}
        </button>
      </p>
    </article>
  );
}
