/** Short sentences about acts, put together from the words of the chair and the figures. */

import type { Mix, Warning } from "../../../core/types";
import { words } from "../../../strings/chair";
import {
  canalText,
  depthText,
  sizeText,
  spanText,
  taperText,
  volumeText,
} from "../../canal/amounts";
import { type Entry, markOf } from "../../canal/marks";
import type { PlannedAct } from "./planned";

export function siteText(site: string): string {
  return site === "chamber" ? words.chamber : canalText(site);
}

export function sitesText(sites: readonly string[]): string {
  return sites.map(siteText).join(", ");
}

/** "N 3 % 1 mL in MB1" without the word between, which the eye reads faster. */
export function actText(what: string, amount: string, site: string): string {
  return [what, amount, siteText(site)].filter((part) => part !== "").join(" · ");
}

/** The announced act in a few words: "N 3 % 1 mL", "ultrasonic 20 s". */
export function plannedText(act: PlannedAct, entries: readonly Entry[]): string {
  switch (act.act) {
    case "irrigate":
      if (act.onFile) return words.next.on_file(mixShort(act.contents, entries));
      return words.next.irrigate(
        mixShort(act.contents, entries),
        act.volumeUl === null ? "" : volumeText(act.volumeUl),
      );
    case "instrument":
      return words.next.instrument(sizes(act));
    case "recapitulate":
      return words.next.recapitulate(sizes(act));
    case "activate":
      return words.next.activate(
        act.activation === null ? words.tools.activate : words.activate.kinds[act.activation],
        act.durationMs === null ? "" : spanText(act.durationMs),
      );
    case "remove":
      return act.by === "aspiration" ? words.next.remove_aspiration : words.next.remove_points;
    case "check":
      return words.next.check(act.check === null ? words.check.title : words.check.what[act.check]);
    case "wait":
      return words.next.wait(
        (act.contactMs ?? act.durationMs) ? spanText(act.contactMs ?? act.durationMs ?? 0) : "",
      );
    case "dress":
      return words.next.dress(act.material ?? "");
    case "fill":
      return words.next.fill(act.material ?? "");
  }
}

function sizes(act: PlannedAct): string {
  if (act.size === null) return "";
  const taper = act.taperUmPerMm === null ? "" : ` / ${taperText(act.taperUmPerMm)}`;
  return sizeText(act.size) + taper;
}

export function mixShort(contents: Mix | null, entries: readonly Entry[]): string {
  return contents === null ? "" : markOf(contents, entries).short;
}

/** A form in one line: "20 mm · 30 / 6 %"; what is unknown says so. */
export function formText(
  lengthUm: number | null,
  size: number | null,
  taper: number | null,
): string {
  const length = lengthUm === null ? words.canal.length_unknown : depthText(lengthUm);
  if (size === null) return length;
  const wide = taper === null ? sizeText(size) : `${sizeText(size)}/${taperText(taper)}`;
  return words.canal.form(length, wide);
}

const TITLED = /[a-z0-9_-]+/g;

/** What the guard says, in words. */
export function warningText(warning: Warning, entries: readonly Entry[]): string {
  const rules = words.speak.rules;
  const about = warning.about.replace(TITLED, (name) => titleOf(name, entries)).replace("+", " + ");
  switch (warning.rule) {
    case "pair":
      if (warning.level === "hold") return rules.pair_hold(about);
      return warning.level === "caution" ? rules.pair_caution(about) : rules.pair_note(about);
    case "pair_not_listed":
      return rules.pair_not_listed(about);
    case "dressing_in_place":
      return rules.dressing_in_place(about);
    case "allergy":
      return rules.allergy(about);
    case "open_apex_or_perforation":
      return rules.open_apex_or_perforation();
    case "tip_at_working_length":
      return rules.tip_at_working_length();
    case "earlier_incident":
      return rules.earlier_incident();
    case "barrel_refilled":
      return rules.barrel_refilled();
    case "use_by_passed":
      return rules.use_by_passed();
    case "needle_would_bind":
      return rules.needle_would_bind();
    case "isolation_after_stop":
      return rules.isolation_after_stop();
    case "chelator_past_limit":
      return rules.chelator_past_limit(about);
    case "working_length_unknown":
      return rules.working_length_unknown();
    case "guard_unavailable":
      return rules.guard_unavailable();
    default:
      return rules.other(warning.rule, about);
  }
}

function titleOf(irrigant: string, entries: readonly Entry[]): string {
  return entries.find((entry) => entry.irrigant === irrigant)?.title ?? irrigant;
}
