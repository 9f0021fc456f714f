import { openVisit as en } from "./en/open_visit";
import { pick, type Words } from "./pick";

export const words: Words<typeof en> = pick<Words<typeof en>>({ en });
