import { staffPick as en } from "./en/staff_pick";
import { pick, type Words } from "./pick";

export const words: Words<typeof en> = pick<Words<typeof en>>({ en });
