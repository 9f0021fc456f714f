import { protocols as en } from "./en/protocols";
import { pick, type Words } from "./pick";

export const words: Words<typeof en> = pick<Words<typeof en>>({ en });
