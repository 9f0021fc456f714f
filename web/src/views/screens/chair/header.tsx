/** Who, where, which tooth, and how many entries are not yet on the server. */

import type { JSX } from "preact";
import { words } from "../../../strings/chair";

export interface HeaderProps {
  readonly room: string;
  readonly tooth: string;
  readonly label: string;
  readonly who: string;
  readonly pending: number;
  readonly training: boolean;
  readonly whoPath: string;
  readonly backPath: string;
}

export function Header(props: HeaderProps): JSX.Element {
  const pending = props.pending === 0 ? words.all_recorded : words.pending(props.pending);
  return (
    <header class="cc-head">
      <a class="cc-head-room" href={props.backPath}>
        {props.room}
      </a>
      <h1 class="cc-head-tooth" aria-label={`${words.tooth(props.tooth)}, ${props.label}`}>
        <b>{props.tooth}</b> <span>{props.label}</span>
      </h1>
      {props.training && <strong class="cc-training">{words.training}</strong>}
      <a class="cc-head-who" href={props.whoPath}>
        {props.who}
      </a>
      <span class="cc-pending" role="img" aria-label={pending} title={pending}>
        <svg width="14" height="14" viewBox="0 0 14 14" aria-hidden="true">
          <circle
            cx="7"
            cy="7"
            r="5"
            class={props.pending > 0 ? "cc-dot-hollow" : "cc-dot-filled"}
          />
        </svg>
        {props.pending > 0 && <b>{props.pending}</b>}
      </span>
    </header>
  );
}
