/** The syringes of a visit: what each barrel held when a delivery came from it. */

import { mixed, sameMix } from "./contents.ts";
import { groupedBy } from "./grouping.ts";
import { byKey, type Keyed } from "./keys.ts";
import type { AnyEvent, IrrigantDelivered, Mix, SyringePrepared } from "./types.ts";

/** The content that nobody can name. */
export const UNKNOWN = "unknown";
export const UNKNOWN_MIX: Mix = [{ irrigant: UNKNOWN, concentration_mg_per_l: null }];

export class Rack {
  readonly #fillings: ReadonlyMap<string, readonly SyringePrepared[]>;

  constructor(standing: readonly AnyEvent[]) {
    const prepared = standing.filter((event) => event.kind === "syringe_prepared");
    this.#fillings = groupedBy(prepared, (event) => event.syringe);
  }

  /** All fillings of a syringe id, in the order of their keys. */
  fillings(syringe: string | null): readonly SyringePrepared[] {
    return syringe === null ? [] : (this.#fillings.get(syringe) ?? []);
  }

  /** The latest filling before a key; the first one if it was noted later. */
  before(syringe: string | null, key: Keyed): SyringePrepared | undefined {
    const fillings = this.fillings(syringe);
    return fillings.findLast((filling) => byKey(filling, key) < 0) ?? fillings[0];
  }

  /** Whether one barrel was prepared again with other contents. */
  refilledOtherwise(syringe: string | null): boolean {
    const [first, ...later] = this.fillings(syringe).map((filling) => mixed(filling.contents));
    return first !== undefined && later.some((contents) => !sameMix(first, contents));
  }

  /** What a delivery delivered: its own word, else its syringe's, else unknown. */
  contents(delivery: IrrigantDelivered): Mix {
    const said = delivery.contents ?? this.before(delivery.syringe, delivery)?.contents;
    return said == null ? UNKNOWN_MIX : mixed(said);
  }
}
