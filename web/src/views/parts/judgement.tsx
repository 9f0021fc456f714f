/** The line that stands on every screen that computes. */

import type { JSX } from "preact";
import { words } from "../../strings/shell";

export function Judgement(): JSX.Element {
  return <footer class="judgement">{words.judgement}</footer>;
}
