import { shell as en } from "./en/shell";
import { pick, type Words } from "./pick";

export const words: Words<typeof en> = pick<Words<typeof en>>({ en });
