/**
 * The questions before the first active solution, in groups. Unknown is an answer; what nobody answered
 * stays open and is shown as open.
 */

import type { JSX } from "preact";
import { kitOf } from "../../../store/clinic";
import { words } from "../../../strings/open_visit";
import { type Answer, change, draft } from "./draft";
import { Section } from "./section";

type Group = keyof typeof words.questions.groups;
type Text = keyof typeof words.questions.texts;

const GROUPS: { readonly [Name in Exclude<Group, "other">]: readonly Text[] } = {
  confirm: ["label_confirmed", "tooth_confirmed"],
  allergy: [
    "allergy_sodium_hypochlorite",
    "allergy_chlorhexidine",
    "allergy_latex",
    "allergy_other",
  ],
  tooth: [
    "open_apex",
    "resorption",
    "perforation",
    "fenestration",
    "sinus",
    "nerve",
    "earlier_incident",
  ],
  set_up: [
    "isolation",
    "eyewear_bib",
    "needle_checked",
    "syringe_read_aloud",
    "suction",
    "incident_card",
  ],
};
const ANSWERS: readonly Answer[] = ["yes", "no", "unknown"];
const LISTED: readonly string[] = Object.values(GROUPS).flat();

/** Questions that nobody has answered yet. */
export function openQuestions(): readonly string[] {
  return [...LISTED, ...otherWanted()].filter((one) => draft.value.answers[one] === undefined);
}

export function QuestionsSection(): JSX.Element {
  const open = openQuestions().length;
  const wanted = new Set(wantedByProtocol());
  const others = otherWanted();
  return (
    <Section title={words.sections.questions} help={words.questions.help}>
      {(Object.keys(GROUPS) as Exclude<Group, "other">[]).map((group) => (
        <QuestionGroup
          key={group}
          title={words.questions.groups[group]}
          questions={GROUPS[group]}
          wanted={wanted}
        />
      ))}
      {others.length === 0 ? null : (
        <QuestionGroup title={words.questions.groups.other} questions={others} wanted={wanted} />
      )}
      <p aria-live="polite">
        {open === 0 ? words.questions.all_answered : words.questions.open(open)}
      </p>
    </Section>
  );
}

interface GroupProps {
  readonly title: string;
  readonly questions: readonly string[];
  readonly wanted: ReadonlySet<string>;
}

function QuestionGroup({ title, questions, wanted }: GroupProps): JSX.Element {
  return (
    <fieldset class="question-group">
      <legend>
        <h3>{title}</h3>
      </legend>
      {questions.map((question) => (
        <Question
          key={question}
          question={question}
          wanted={wanted.size === 0 || wanted.has(question)}
        />
      ))}
    </fieldset>
  );
}

function Question(props: { readonly question: string; readonly wanted: boolean }): JSX.Element {
  const { question, wanted } = props;
  const given = draft.value.answers[question] ?? null;
  const text = textOf(question);
  const answer = (value: Answer): void => {
    const { [question]: _old, ...others } = draft.value.answers;
    change({ answers: given === value ? others : { ...others, [question]: value } });
  };
  return (
    <fieldset class={given === null ? "question is-open" : "question"} aria-label={text}>
      <span>
        {text}
        {wanted ? null : <span class="small soft"> {words.questions.not_wanted}</span>}
      </span>
      <span class="choices">
        {ANSWERS.map((value) => (
          <button
            key={value}
            type="button"
            class="choice"
            aria-pressed={given === value}
            onClick={() => answer(value)}
          >
            {words.questions[value]}
          </button>
        ))}
      </span>
    </fieldset>
  );
}

function textOf(question: string): string {
  const known: { readonly [name: string]: string } = words.questions.texts;
  return (
    known[question] ??
    question.replace(/^allergy_/, `${words.questions.groups.allergy}: `).replaceAll("_", " ")
  );
}

function wantedByProtocol(): readonly string[] {
  const { kit } = draft.value;
  if (kit === null) return [];
  const state = kitOf(kit).value;
  return state.at === "here" ? (state.kit.protocol?.questions ?? []) : [];
}

function otherWanted(): readonly string[] {
  return wantedByProtocol().filter((one) => !LISTED.includes(one));
}
