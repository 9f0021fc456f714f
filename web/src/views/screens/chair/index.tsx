/** The chair's screen as the app asks for it: the address names the visit. */

import type { JSX } from "preact";
import { ChairScreen } from "./chair";

export default function Chair({
  subject,
}: {
  readonly subject: string | null;
}): JSX.Element | null {
  return subject === null ? null : <ChairScreen visit={subject} />;
}
