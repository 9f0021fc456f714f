/** Rooms now: each room, its open visits, and what each canal holds and for how long. */

import "./rooms.css";
import type { JSX } from "preact";
import { useEffect } from "preact/hooks";
import { toothText } from "../../../store/anatomy";
import { clinic, notation, roomTitle, zone } from "../../../store/clinic";
import { isWall, settings } from "../../../store/device";
import { to } from "../../../store/route";
import type { VisitRow } from "../../../store/shapes";
import { openVisits, visits, watchOpenVisits } from "../../../store/visits";
import { words as shell } from "../../../strings/shell";
import { timeOfDayText } from "../../canal/amounts";
import { CanalsNow } from "./canals_now";

const words = shell.rooms;
const CLOSED_SHOWN = 12;

interface RoomAndVisits {
  readonly room: string;
  readonly title: string;
  readonly visits: readonly VisitRow[];
}

export function Rooms(): JSX.Element {
  useEffect(watchOpenVisits, []);
  const rooms = roomsNow();
  return (
    <section class="rooms">
      <h1 class={isWall.value ? "unseen" : ""}>{words.title}</h1>
      {rooms.length === 0 ? (
        <p class="tray">{clinic.value === null ? shell.loading : words.empty}</p>
      ) : null}
      <ul class="room-list">
        {rooms.map((one) => (
          <li key={one.room} class="room">
            <RoomNow {...one} />
          </li>
        ))}
      </ul>
      {isWall.value ? null : <Closed />}
    </section>
  );
}

function roomsNow(): readonly RoomAndVisits[] {
  const known = (clinic.value?.rooms ?? []).map(({ room, title }) => ({
    room,
    title,
    visits: openVisits.value.filter((visit) => visit.room === room),
  }));
  const listed = new Set(known.map((one) => one.room));
  const elsewhere = openVisits.value.filter((visit) => !listed.has(visit.room));
  const others = [...new Set(elsewhere.map((visit) => visit.room))].map((room) => ({
    room,
    title: words.elsewhere(room),
    visits: elsewhere.filter((visit) => visit.room === room),
  }));
  const mine = settings.value.room;
  return [...known, ...others].toSorted(
    (one, other) => Number(other.room === mine) - Number(one.room === mine),
  );
}

function RoomNow({ room, title, visits: open }: RoomAndVisits): JSX.Element {
  return (
    <>
      <header>
        <h2>{title}</h2>
        {isWall.value ? null : (
          <a
            class={settings.value.room === room && open.length === 0 ? "press main" : "press"}
            href={to.open({ room })}
            aria-label={words.open_in(title)}
          >
            {words.open_here}
          </a>
        )}
      </header>
      {open.length === 0 ? (
        <p class="soft">{words.none_open}</p>
      ) : (
        <ul>
          {open.map((visit) => (
            <li key={visit.visit}>
              <VisitNow visit={visit} />
            </li>
          ))}
        </ul>
      )}
    </>
  );
}

function VisitNow({ visit }: { readonly visit: VisitRow }): JSX.Element {
  const tooth = toothText(visit.tooth, notation.value);
  return (
    <a class="visit" href={to.chair(visit.visit)} aria-label={words.enter(tooth, visit.label)}>
      <span class="tooth-and-label">
        <strong class="tooth-number">{tooth}</strong>
        <span class="label">{visit.label}</span>
        <span class="soft small">
          {words.opened(timeOfDayText(visit.opened_at_ms, zone.value).slice(0, 5))}
          {visit.training ? `, ${words.training}` : ""}
        </span>
      </span>
      <CanalsNow visit={visit.visit} />
    </a>
  );
}

function Closed(): JSX.Element {
  const closed = visits.value
    .filter((visit) => visit.closed_at_ms !== null)
    .toSorted((one, other) => other.opened_at_ms - one.opened_at_ms)
    .slice(0, CLOSED_SHOWN);
  return (
    <section class="closed">
      <h2>{words.recent}</h2>
      {closed.length === 0 ? <p class="soft">{words.recent_none}</p> : null}
      <ul>
        {closed.map((visit) => (
          <li key={visit.visit} class="tray">
            <strong class="tooth-number">{toothText(visit.tooth, notation.value)}</strong>
            <span class="label">{visit.label}</span>
            <span class="soft small">
              {roomTitle(visit.room)}, {dayText(visit.opened_at_ms)},{" "}
              {visit.signed_seq === null ? words.unsigned : words.signed}
            </span>
            <span class="choices">
              <a class="press" href={to.review(visit.visit)}>
                {words.to_review}
              </a>
              <a class="press" href={to.open({ course: visit.course, room: visit.room })}>
                {words.again}
              </a>
            </span>
          </li>
        ))}
      </ul>
    </section>
  );
}

function dayText(atMs: number): string {
  return new Intl.DateTimeFormat("en-CA", { timeZone: zone.value }).format(atMs);
}
