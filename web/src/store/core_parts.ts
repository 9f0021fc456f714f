/** What the store needs of the core, in one piece that comes by itself. */

export { fold, FOLD_VERSION } from "../core/fold.ts";
export { NotReadable, readHeard, readKit } from "../core/reading.ts";
export { totals } from "../core/totals.ts";
