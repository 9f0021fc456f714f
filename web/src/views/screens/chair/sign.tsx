/** The level by form: i, triangle, octagon; small, beside a word. */

import type { JSX } from "preact";
import type { Level } from "../../../core/types";

export function Sign(props: { readonly level: Level }): JSX.Element {
  return (
    <svg class="cc-sign" width="22" height="22" viewBox="0 0 22 22" aria-hidden="true">
      {props.level === "note" && <path d="M11 9v8M11 4.6v2.2" />}
      {props.level === "caution" && <path d="M11 2L20.5 19H1.5ZM11 8v5M11 15v2" />}
      {props.level === "hold" && <path d="M7 1.5h8L20.5 7v8L15 20.5H7L1.5 15V7ZM6 11h10" />}
    </svg>
  );
}
