/** Events in few words: ids and device numbers count up, what a test does not say is the schema's default. */

import { mgPerL, ms } from "../../src/core/quantities.ts";
import { readAs } from "../../src/core/reading.ts";
import type { AnyEvent, Component, EventKind, Kit, ProposedAct } from "../../src/core/types.ts";
import { kitNamed } from "./judging.ts";

type Fields = { readonly [name: string]: unknown };

export const SECOND = 1000;
export const MINUTE = 60 * SECOND;

export const N = content("sodium_hypochlorite", 25_000);
export const E = content("edta", 170_000);
export const W = content("water");
export const C = content("chlorhexidine", 20_000);

/** An irrigant of a strength; unknown if none is said. */
export function content(irrigant: string, concentrationMgPerL: number | null = null): Component {
  const strength = concentrationMgPerL === null ? null : mgPerL(concentrationMgPerL);
  return { irrigant, concentration_mg_per_l: strength };
}

/** The kit that the vectors call `bench`. */
export function aKit(change: Partial<Kit> = {}): Kit {
  return { ...kitNamed("bench"), ...change };
}

/** Makes the events of one visit. */
export class Visit {
  readonly events: AnyEvent[] = [];

  constructor(canals: readonly string[] = ["a"], fields: Fields = {}) {
    this.add("visit_opened", 0, {
      course: "c",
      tooth: "16",
      label: "A-1",
      room: "one",
      kit: "0".repeat(64),
      canals,
      ...fields,
    });
  }

  /** An event at an instant in ms; `as` gives it an id, a device and the like. */
  add(kind: EventKind, atMs: number, fields: Fields = {}): AnyEvent {
    const number = this.events.length;
    const event = readAs(kind, {
      id: `e${number}`,
      visit: "v",
      device: "p",
      device_seq: number,
      staff: "s",
      occurred_at_ms: atMs,
      device_clock_ms: atMs,
      clock_error_ms: 0,
      ...fields,
    });
    this.events.push(event);
    return event;
  }

  deliver(atMs: number, site: string, contents: Component, fields: Fields = {}): AnyEvent {
    const said = { site, contents: [contents], volume_ul: 1000, tip_um: 20_000, how: "timed" };
    return this.add("irrigant_delivered", atMs, { ...said, ...fields });
  }

  points(atMs: number, site: string, fields: Fields = {}): AnyEvent {
    return this.add("irrigant_removed", atMs, { site, by: "points", ...fields });
  }

  correct(atMs: number, event: AnyEvent, change: Fields, fields: Fields = {}): AnyEvent {
    const payload = { ...event, ...change };
    const said = { entry: event.id, replaces: event.id, reason: "slip", payload };
    return this.add("entry_corrected", atMs, { ...said, ...fields });
  }
}

/** An act about to be made. */
export function anAct(
  contents: Component,
  site: string | null,
  change: Partial<ProposedAct> = {},
): ProposedAct {
  const nothing = { syringe: null, by: null, tip_um: null };
  return { contents: [contents], site, ...nothing, at_ms: ms(60 * MINUTE), ...change };
}
