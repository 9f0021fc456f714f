/** The small sheets of the chair: dress or fill, note, questions, team, leave out, go on, close. */

import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { Canal, Kit, QuestionAnswered, VisitRecord } from "../../../../core/types.ts";
import type { Draft } from "../../../../store/commands";
import type { StaffMember } from "../../../../store/shapes";
import { words } from "../../../../strings/chair";
import { words as opening } from "../../../../strings/open_visit";
import { canalText } from "../../../canal/amounts";
import type { Entry } from "../../../canal/marks";
import { Sheet } from "../../../parts/sheet";
import { Choice } from "../choice";
import type { PlannedAct } from "../planned";
import { Press } from "../press";
import { plannedText, siteText } from "../texts";
import { named } from "./canal_sheet";

type OnLog = (drafts: readonly Draft[], text: string) => void;

export function FillSheet(props: {
  readonly canals: readonly Canal[];
  readonly kit: Kit | null;
  readonly onLog: OnLog;
  readonly onClose: () => void;
}): JSX.Element {
  const [kind, setKind] = useState<"dressing_placed" | "canal_filled">("dressing_placed");
  const dressings = (props.kit?.catalogue.irrigants ?? [])
    .filter((entry) => entry.kind === "dressing" || entry.viscous)
    .map((entry): [string, string] => [entry.irrigant, entry.title]);
  const materials =
    kind === "dressing_placed" && dressings.length > 0 ? dressings : named(words.dress.materials);
  const [material, setMaterial] = useState<string | null>(null);
  return (
    <Sheet title={words.dress.title} onClose={props.onClose}>
      <div class="cc-form">
        <Choice
          row
          what={words.dress.title}
          value={kind}
          options={[
            ["dressing_placed", words.dress.dress],
            ["canal_filled", words.dress.fill],
          ]}
          onChoose={setKind}
        />
        <Choice
          what={words.dress.material}
          value={material}
          options={materials}
          onChoose={setMaterial}
        />
        <Choice
          what={words.file.where}
          value={null}
          options={props.canals.map((one): [string, string] => [one.canal, canalText(one.canal)])}
          onChoose={(site) => {
            if (material === null) return;
            props.onLog(
              [{ kind, site, material }],
              `${words.dress[kind === "dressing_placed" ? "dress" : "fill"]} ${canalText(site)}`,
            );
          }}
        />
      </div>
    </Sheet>
  );
}

export function NoteSheet(props: {
  readonly onLog: OnLog;
  readonly onClose: () => void;
}): JSX.Element {
  const [text, setText] = useState("");
  return (
    <Sheet title={words.note.title} onClose={props.onClose}>
      <div class="cc-form">
        <label class="field">
          <span>{words.note.field}</span>
          <textarea
            class="entry"
            rows={4}
            maxLength={4000}
            value={text}
            onInput={(event) => setText(event.currentTarget.value)}
          />
        </label>
        <Press
          class="press main wide"
          disabled={text.trim() === ""}
          onPress={() => {
            props.onLog([{ kind: "note_added", text: text.trim() }], words.note.title);
            props.onClose();
          }}
        >
          {text.trim() === "" ? words.note.empty : words.note.save}
        </Press>
      </div>
    </Sheet>
  );
}

/** Questions of the opening gate that have no answer yet. */
export function openQuestions(record: VisitRecord, kit: Kit | null): readonly string[] {
  const answered = new Set(
    record.standing.flatMap((event) =>
      event.kind === "question_answered" ? [event.question] : [],
    ),
  );
  return (kit?.protocol?.questions ?? []).filter((question) => !answered.has(question));
}

export function QuestionsSheet(props: {
  readonly questions: readonly string[];
  readonly onLog: OnLog;
  readonly onClose: () => void;
}): JSX.Element {
  const texts: { readonly [question: string]: string } = opening.questions.texts;
  const answers: readonly [QuestionAnswered["answer"], string][] = [
    ["yes", words.questions.yes],
    ["no", words.questions.no],
    ["unknown", words.questions.unknown],
  ];
  return (
    <Sheet title={words.questions.title} onClose={props.onClose}>
      <div class="cc-form">
        <p class="small soft">
          {props.questions.length === 0 ? words.questions.none : words.questions.help}
        </p>
        {props.questions.map((question) => (
          <Choice
            key={question}
            row
            what={texts[question] ?? question.replaceAll("_", " ")}
            value={null}
            options={answers}
            onChoose={(answer) =>
              props.onLog(
                [{ kind: "question_answered", question, answer }],
                texts[question] ?? question,
              )
            }
          />
        ))}
      </div>
    </Sheet>
  );
}

export function TeamSheet(props: {
  readonly staff: readonly StaffMember[];
  readonly onLog: OnLog;
  readonly onClose: () => void;
}): JSX.Element {
  const [operator, setOperator] = useState<string | null>(null);
  const [assistant, setAssistant] = useState<string | null>(null);
  const of = (roles: readonly string[]): [string, string][] =>
    props.staff.filter((one) => roles.includes(one.role)).map((one) => [one.staff, one.title]);
  return (
    <Sheet title={words.team.title} onClose={props.onClose}>
      <div class="cc-form">
        <Choice
          what={words.team.operator}
          value={operator}
          options={of(["dentist"])}
          onChoose={setOperator}
        />
        <Choice
          what={words.team.assistant}
          value={assistant}
          options={of(["assistant", "lead"])}
          onChoose={setAssistant}
        />
        <Press
          class="press main wide"
          disabled={operator === null && assistant === null}
          onPress={() => {
            props.onLog([{ kind: "team_changed", operator, assistant }], words.team.title);
            props.onClose();
          }}
        >
          {words.team.save}
        </Press>
      </div>
    </Sheet>
  );
}

export function SkipSheet(props: {
  readonly act: PlannedAct;
  readonly entries: readonly Entry[];
  readonly onLog: OnLog;
  readonly onClose: () => void;
}): JSX.Element {
  const { act } = props;
  const [whole, setWhole] = useState(false);
  const text = `${words.next.skip}: ${siteText(act.site)} ${plannedText(act, props.entries)}`;
  return (
    <Sheet title={text} onClose={props.onClose}>
      <div class="cc-form">
        <Press class="press" repeats pressed={whole} onPress={() => setWhole(!whole)}>
          {words.next.skip_stage}
        </Press>
        <Choice
          what={words.next.skip_why}
          value={null}
          options={named(words.next.skip_reasons)}
          onChoose={(key) => {
            const reason = words.next.skip_reasons[key];
            props.onLog(
              [
                {
                  kind: "step_skipped",
                  step: whole ? act.stage : act.step,
                  cycle: act.cycle,
                  canal: act.site,
                  reason,
                },
              ],
              text,
            );
            props.onClose();
          }}
        />
      </div>
    </Sheet>
  );
}

export function ResumeSheet(props: {
  readonly onResume: (isolation: boolean) => void;
  readonly onClose: () => void;
}): JSX.Element {
  return (
    <Sheet title={words.resume} onClose={props.onClose}>
      <div class="cc-form">
        <p>{words.resume_isolation}</p>
        <Press
          class="press main wide"
          onPress={() => props.onResume(true)}
          testid="isolation-checked"
        >
          {words.isolation_yes}
        </Press>
        <Press class="press wide" onPress={() => props.onResume(false)}>
          {words.isolation_not_yet}
        </Press>
      </div>
    </Sheet>
  );
}

export function CloseSheet(props: {
  readonly inPlace: readonly string[];
  readonly working: readonly string[];
  readonly onClosed: () => void;
  readonly onClose: () => void;
}): JSX.Element {
  return (
    <Sheet title={words.close.title} onClose={props.onClose}>
      <div class="cc-form">
        <p>{words.close.help}</p>
        {props.working.map((canal) => (
          <p key={canal}>{words.close.open_activation(canalText(canal))}</p>
        ))}
        {props.inPlace.length > 0 && (
          <p>{words.close.open_contact(props.inPlace.map(canalText).join(", "))}</p>
        )}
        <Press class="press main wide" onPress={props.onClosed} testid="close-now">
          {words.close.do}
        </Press>
      </div>
    </Sheet>
  );
}
