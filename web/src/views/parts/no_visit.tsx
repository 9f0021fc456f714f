/** What a screen says of a visit that it has no record of: on its way, not here yet, or nowhere. */

import type { JSX } from "preact";
import { to } from "../../store/route";
import { connected } from "../../store/server";
import { absent } from "../../store/visits";
import { words } from "../../strings/shell";

export function NoVisit({ visit }: { readonly visit: string }): JSX.Element {
  const waiting = connected.value ? words.loading : words.visit.not_here;
  return (
    <>
      <p role="status">{absent.value.has(visit) ? words.visit.unknown : waiting}</p>
      <a class="press" href={to.rooms()}>
        {words.to_rooms}
      </a>
    </>
  );
}
