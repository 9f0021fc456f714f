/** What asks who ordered it and why, before one act. */

import { Rack } from "./rack.ts";
import type { Reactions } from "./reactions.ts";
import { CHAMBER } from "./sites.ts";
import type { Component, Kit, ProposedAct, VisitRecord, Warning } from "./types.ts";
import { warning } from "./warnings.ts";

type Answers = ReadonlyMap<string, "yes" | "no" | "unknown">;

/** Answers that let a solution under pressure leave the canal. */
const WAYS_OUT = ["open_apex", "perforation", "resorption"];

export function holds(
  kit: Kit,
  reactions: Reactions,
  record: VisitRecord,
  act: ProposedAct,
): Warning[] {
  const answers = lastAnswers(record);
  const hypochlorite = act.contents.filter(
    ({ irrigant }) => reactions.kind(irrigant) === "hypochlorite",
  );
  return [
    ...allergies(reactions, answers, act),
    ...wayOut(kit, answers, act, hypochlorite),
    ...tipAtWorkingLength(record, act),
    ...earlierIncident(record, answers, hypochlorite),
    ...barrelRefilled(record, act),
  ];
}

/** The last answer to each question; what nobody answered is not "no". */
function lastAnswers(record: VisitRecord): Answers {
  const answered = record.standing.filter((event) => event.kind === "question_answered");
  return new Map(answered.map((event) => [event.question, event.answer]));
}

function allergies(reactions: Reactions, answers: Answers, act: ProposedAct): Warning[] {
  const irrigants = [...new Set(act.contents.map((component) => component.irrigant))];
  const toldOf = irrigants.filter((irrigant) =>
    [irrigant, reactions.agent(irrigant)].some((name) => {
      const answer = answers.get(`allergy_${name}`);
      return answer === "yes" || answer === "unknown";
    }),
  );
  return toldOf.map((about) => warning("allergy", "hold", { about }));
}

function wayOut(
  kit: Kit,
  answers: Answers,
  act: ProposedAct,
  hypochlorite: readonly Component[],
): Warning[] {
  const isOpen = WAYS_OUT.some((question) => answers.get(question) === "yes");
  if (act.site === CHAMBER || !isOpen) return [];
  if (!hypochlorite.some((component) => isBeyondProtocol(kit, component))) return [];
  return [warning("open_apex_or_perforation", "hold", { about: nameOf(hypochlorite) })];
}

/** Whether pressure is allowed, or the strength is not known to be within the protocol's. */
function isBeyondProtocol({ protocol }: Kit, component: Component): boolean {
  if (protocol === null || protocol.case.pressure === "allowed") return true;
  const written = protocol.solutions
    .flatMap((solution) => solution.contents)
    .filter((one) => one.irrigant === component.irrigant)
    .flatMap((one) => one.concentration_mg_per_l ?? []);
  const strength = component.concentration_mg_per_l;
  return strength === null || written.length === 0 || strength > Math.max(...written);
}

function tipAtWorkingLength(record: VisitRecord, { site, tip_um: tipUm }: ProposedAct): Warning[] {
  const lengthUm = record.canals.find((one) => one.canal === site)?.working_length_um ?? null;
  if (site === null || tipUm === null || lengthUm === null || tipUm < lengthUm) return [];
  return [warning("tip_at_working_length", "hold", { sites: [site] })];
}

function earlierIncident(
  record: VisitRecord,
  answers: Answers,
  hypochlorite: readonly Component[],
): Warning[] {
  const declared = record.standing.some((event) => event.kind === "incident_declared");
  if (hypochlorite.length === 0) return [];
  if (!declared && answers.get("earlier_incident") !== "yes") return [];
  return [warning("earlier_incident", "hold", { about: nameOf(hypochlorite) })];
}

function barrelRefilled(record: VisitRecord, { syringe }: ProposedAct): Warning[] {
  if (syringe === null || !new Rack(record.standing).refilledOtherwise(syringe)) return [];
  return [warning("barrel_refilled", "hold", { about: syringe })];
}

function nameOf(components: readonly Component[]): string {
  return components[0]?.irrigant ?? "";
}
