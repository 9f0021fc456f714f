/** Rooms now: each room, its open visits, and what each canal holds and for how long. */

import "./rooms.css";
import type { JSX, RefObject } from "preact";
import { useEffect, useRef } from "preact/hooks";
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
const FIT_EVERY_MS = 2000;
const FIT_STEPS = 6;
const SMALLEST = 0.3;

interface RoomAndVisits {
  readonly room: string;
  readonly title: string;
  readonly visits: readonly VisitRow[];
}

export function Rooms(): JSX.Element {
  useEffect(watchOpenVisits, []);
  const rooms = roomsNow();
  const list = useRef<HTMLUListElement>(null);
  useFit(list, isWall.value);
  return (
    <section class="rooms">
      <h1 class={isWall.value ? "unseen" : ""}>{words.title}</h1>
      {rooms.length === 0 ? (
        <p class="tray">{clinic.value === null ? shell.loading : words.empty}</p>
      ) : null}
      <ul class="room-list" ref={list}>
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

/** A wall nobody scrolls: the rooms are drawn smaller until all of them are in sight. */
function useFit(list: RefObject<HTMLUListElement | null>, wanted: boolean): void {
  useEffect(() => {
    if (!wanted) return;
    const refit = (): void => {
      if (list.current !== null) fitInSight(list.current);
    };
    refit();
    const handle = setInterval(refit, FIT_EVERY_MS);
    addEventListener("resize", refit);
    return () => {
      clearInterval(handle);
      removeEventListener("resize", refit);
    };
  }, [wanted]);
}

function fitInSight(list: HTMLUListElement): void {
  let zoom = 1;
  list.style.zoom = "1";
  for (let step = 0; step < FIT_STEPS; step += 1) {
    const over = document.documentElement.scrollHeight - innerHeight;
    if (over <= 0 || zoom <= SMALLEST) return;
    const { height } = list.getBoundingClientRect();
    zoom = Math.max(SMALLEST, zoom * Math.max(0.6, (height - over) / height));
    list.style.zoom = String(zoom);
  }
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
              {isUnderWay(visit.course) ? null : (
                <a class="press" href={to.open({ course: visit.course, room: visit.room })}>
                  {words.again}
                </a>
              )}
            </span>
          </li>
        ))}
      </ul>
    </section>
  );
}

/** Whether an appointment of this tooth is open already. */
function isUnderWay(course: string): boolean {
  return openVisits.value.some((visit) => visit.course === course);
}

function dayText(atMs: number): string {
  return new Intl.DateTimeFormat("en-CA", { timeZone: zone.value }).format(atMs);
}
