/** Open a visit: tooth, label, canals, protocol, questions, what was left in, syringes; then to the chair. */

import "./open_visit.css";
import { signal } from "@preact/signals";
import type { JSX } from "preact";
import { useEffect } from "preact/hooks";
import { person } from "../../../store/clinic";
import { logForm, NobodyHere, newId } from "../../../store/commands";
import { settings } from "../../../store/device";
import { kitOfVisit, recordOf } from "../../../store/records";
import { go, to } from "../../../store/route";
import { visits, watch } from "../../../store/visits";
import { words } from "../../../strings/open_visit";
import { words as shell } from "../../../strings/shell";
import { Band } from "../../parts/bands";
import { SetOutSection } from "../set_out/section";
import { CanalsSection } from "./canals_section";
import { carriedFrom, latestOf } from "./carried";
import { change, clearDraft, draft } from "./draft";
import { LeftInSection } from "./left_in_section";
import { missing, openingEvents } from "./opening";
import { ProtocolSection } from "./protocol_section";
import { openQuestions, QuestionsSection } from "./questions_section";
import { SyringesSection } from "./syringes_section";
import { ToothSection } from "./tooth_section";
import { WhoSection } from "./who_section";

const saving = signal(false);
const failure = signal<string | null>(null);

export default function OpenVisit({ query }: { readonly query: URLSearchParams }): JSX.Element {
  useStart(query);
  return (
    <section class="open-visit">
      <h1>{draft.value.course === null ? words.title : words.next_appointment}</h1>
      {query.has("course") && draft.value.carriedFrom === null ? (
        <Band level="caution" word={words.left_in.not_yet} />
      ) : null}
      <ToothSection />
      <WhoSection />
      <CanalsSection />
      <ProtocolSection />
      <LeftInSection />
      <QuestionsSection />
      <SyringesSection />
      <SetOutSection />
      <OpenBar />
    </section>
  );
}

/** Take what the address says: a room, a protocol, or a course to go on with. */
function useStart(query: URLSearchParams): void {
  const room = query.get("room") ?? draft.peek().room ?? settings.peek().room;
  const course = query.get("course");
  useEffect(() => {
    failure.value = null;
    if (course === null && draft.peek().course !== null) clearDraft();
    change({ room, ...(query.has("protocol") ? { kit: query.get("protocol") } : {}) });
  }, [room, course]);
  const last = course === null ? null : latestOf(course, visits.value);
  const visit = last?.visit ?? null;
  useEffect(() => (visit === null ? undefined : watch(visit)), [visit]);
  const known = visit !== null && kitOfVisit(visit).value !== null;
  const record = known ? recordOf(visit).value : null;
  useEffect(() => {
    if (last === null || record === null || draft.peek().carriedFrom === last.visit) return;
    clearDraft();
    change({ room, ...carriedFrom(last, record) });
  }, [visit, record]);
}

function OpenBar(): JSX.Element {
  const left = missing(draft.value);
  const open = openQuestions().length;
  const nobody = person.value === null;
  return (
    <div class="open-bar">
      {failure.value === null ? null : <Band level="hold" word={failure.value} />}
      {open === 0 || left.length > 0 ? null : (
        <p class="small soft">{words.open.open_questions(open)}</p>
      )}
      {nobody ? (
        <a class="press main wide" href={`${to.who()}?then=${encodeURIComponent(to.open())}`}>
          {words.open.nobody}
        </a>
      ) : (
        <button
          type="button"
          class="press main wide"
          disabled={left.length > 0 || saving.value}
          onClick={() => void openIt()}
        >
          {saving.value ? words.open.saving : actionText(left)}
        </button>
      )}
    </div>
  );
}

function actionText(left: readonly string[]): string {
  return left[0] === undefined ? words.open.action : words.open.missing(left[0]);
}

async function openIt(): Promise<void> {
  if (saving.peek()) return;
  saving.value = true;
  failure.value = null;
  const visit = newId();
  try {
    await logForm(visit, ...openingEvents(draft.peek()));
    clearDraft();
    go(to.chair(visit), { replace: true });
  } catch (why) {
    failure.value = wordsFor(why);
  } finally {
    saving.value = false;
  }
}

function wordsFor(why: unknown): string {
  if (why instanceof NobodyHere) return words.open.nobody;
  if (why instanceof Error && why.name === "NotReadable") return words.open.refused(why.message);
  return why instanceof Error && why.name === "DiskFailed" ? words.open.failed : shell.disk.failing;
}
