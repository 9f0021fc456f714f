/** What the store needs of the core, in one piece that comes by itself. */

export { FOLD_VERSION, fold } from "../core/fold.ts";
export { NotReadable, readHeard, readKit } from "../core/reading.ts";
export { totals } from "../core/totals.ts";
