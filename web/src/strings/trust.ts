import { trust as en } from "./en/trust";
import { pick, type Words } from "./pick";

export const words: Words<typeof en> = pick<Words<typeof en>>({ en });
