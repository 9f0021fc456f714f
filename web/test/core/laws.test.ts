import { describe, expect, test } from "vitest";
import { fold } from "../../src/core/fold.ts";
import { ms } from "../../src/core/quantities.ts";
import { totals } from "../../src/core/totals.ts";
import type { AnyEvent, Heard } from "../../src/core/types.ts";
import { aKit, C, E, N, SECOND, Visit, W } from "./builders.ts";

/** Numbers that look random and are the same in every run (a linear congruential generator). */
function numbers(seed: number): (below: number) => number {
  let state = seed;
  return (below) => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return Math.floor((state / 2 ** 32) * below);
  };
}

const KIT = aKit();
const SEEDS = Array.from({ length: 40 }, (_, seed) => seed + 1);
const CANALS = ["a", "b", "c"];

/** A visit in which anything may happen, in no sensible order. */
function anyVisit(seed: number): AnyEvent[] {
  const below = numbers(seed);
  const one = <Item>(of: readonly Item[]): Item => of[below(of.length)] as Item;
  const visit = new Visit(["a", "b"]);
  const device = () => ({ device: one(["p", "r"]), clock_error_ms: one([0, 900, null]) });
  for (let count = 10 + below(30); count > 0; count -= 1) {
    const at = below(300) * SECOND;
    const canal = one(CANALS);
    const site = one([...CANALS, "chamber"]);
    const tip = { tip_um: one([null, 12_000, 18_000, 20_000]) };
    const depth = { length_um: one([null, 12_000, 20_000]) };
    switch (below(9)) {
      case 0:
        visit.points(at, site, device());
        break;
      case 1:
        visit.add("canal_set", at, {
          canal,
          working_length_um: 20_000,
          orifice_um: one([null, 9000]),
        }); // prettier-ignore
        break;
      case 2:
        visit.add("instrument_used", at, { canal, ...depth });
        break;
      case 3:
        visit.add(one(["activation_started", "activation_stopped"] as const), at, {
          canal,
          activation: "sonic",
          ...tip,
        }); // prettier-ignore
        break;
      case 4:
        visit.correct(at, one(visit.events.filter((event) => event.kind !== "entry_corrected")), {
          occurred_at_ms: below(300) * SECOND,
        }); // prettier-ignore
        break;
      default:
        visit.deliver(at, site, one([N, E, W, C]), {
          ...tip,
          ...device(),
          volume_ul: one([null, 500, 1000]),
          duration_ms: one([null, 20_000]),
          how: one(["timed", "planned"]),
        }); // prettier-ignore
    }
  }
  return visit.events;
}

function shuffled(events: readonly Heard[], seed: number): Heard[] {
  const below = numbers(seed * 7919);
  const pile = [...events];
  return events.map(() => pile.splice(below(pile.length), 1)[0] as Heard);
}

describe.each(SEEDS)("of any visit (%i)", (seed) => {
  const events = anyVisit(seed);
  const record = fold(KIT, events);
  const figures = totals(record, ms(400 * SECOND));

  test("the record is the same in every order of arrival, and heard twice", () => {
    expect(fold(KIT, shuffled(events, seed))).toEqual(record);
    expect(fold(KIT, [...events, ...shuffled(events, seed + 1)])).toEqual(record);
  });

  test("the volumes of the sites add up to the tooth's", () => {
    for (const row of figures.tooth) {
      const parts = figures.volumes.filter(
        (part) =>
          part.irrigant === row.irrigant &&
          part.concentration_mg_per_l === row.concentration_mg_per_l,
      );
      expect(parts.reduce((sum, part) => sum + part.volume_ul, 0)).toBe(row.volume_ul);
    }
  });

  test("nothing is negative, fresh and activated are part of the contact, and no depth had more than the visit", () => {
    for (const row of figures.depths) {
      expect(row.fresh_ms).toBeGreaterThanOrEqual(0);
      expect(row.fresh_ms).toBeLessThanOrEqual(row.contact_ms);
      expect(row.activated_ms).toBeLessThanOrEqual(row.contact_ms);
      expect(row.contact_ms).toBeLessThanOrEqual(400 * SECOND);
      expect(row.to_um ?? Number.POSITIVE_INFINITY).toBeGreaterThan(row.from_um);
    }
    for (const canal of record.canals) {
      const depths = figures.depths.filter((row) => row.site === canal.canal);
      for (const depth of depths.map((row) => row.from_um)) {
        const here = depths.filter(
          (row) => row.from_um <= depth && depth < (row.to_um ?? Number.POSITIVE_INFINITY),
        );
        const whole = here.reduce((sum, row) => sum + row.contact_ms, 0);
        expect(whole).toBeLessThanOrEqual(400 * SECOND);
      }
    }
  });

  test("a finding cites only events that exist", () => {
    const ids = new Set(events.map((event) => event.id));
    for (const finding of record.findings) {
      for (const id of finding.events) expect(ids).toContain(id);
    }
  });

  test("the second account never has less contact than the first", () => {
    for (const row of figures.depths) {
      const same = figures.carried.filter(
        (one) =>
          one.site === row.site &&
          one.irrigant === row.irrigant &&
          one.concentration_mg_per_l === row.concentration_mg_per_l &&
          one.from_um <= row.from_um &&
          row.from_um < (one.to_um ?? Number.POSITIVE_INFINITY),
      );
      expect(same[0]?.carried_ms ?? 0).toBeGreaterThanOrEqual(row.contact_ms);
    }
  });
});
