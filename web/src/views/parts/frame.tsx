/** The frame around the screens of the desk and the rooms; at the chair the tooth is the screen. */

import { signal } from "@preact/signals";
import type { ComponentChildren, ComponentType, JSX } from "preact";
import { toothText } from "../../store/anatomy";
import { clinic, notation } from "../../store/clinic";
import { type Route, type ScreenName, to } from "../../store/route";
import { visitHere } from "../../store/visits";
import { words } from "../../strings/shell";
import { Judgement } from "./judgement";
import { Status } from "./status";

const AGAIN_MS = 2000;
const BARE: ReadonlySet<ScreenName> = new Set(["chair", "incident"]);

export interface FrameProps {
  readonly route: Route | null;
  readonly children: ComponentChildren;
}

export function Frame({ route, children }: FrameProps): JSX.Element {
  if (route !== null && BARE.has(route.screen)) {
    return (
      <>
        <Bands />
        {children}
      </>
    );
  }
  return (
    <>
      <header class="frame-top">
        <button type="button" class="skip press" onClick={toScreen}>
          {words.skip}
        </button>
        <ToChair />
        <span class="place">{clinic.value?.title ?? words.app}</span>
        <Status />
      </header>
      <Bands />
      <main class="frame-main" id="screen" tabIndex={-1}>
        {children}
      </main>
      <Judgement />
      <nav class="frame-nav" aria-label={words.app}>
        {PLACES.map(({ screen, path, text }) => (
          <a key={screen} href={path} aria-current={screen === route?.screen ? "page" : undefined}>
            {text}
          </a>
        ))}
      </nav>
    </>
  );
}

/** The visit this device was last at, while it is open: from there the incident card is one tap. */
function ToChair(): JSX.Element | null {
  const row = visitHere.value;
  if (row === null) return null;
  const tooth = toothText(row.tooth, notation.value);
  return (
    <a
      class="press to-chair"
      href={to.chair(row.visit)}
      aria-label={words.rooms.enter(tooth, row.label)}
    >
      <b>{tooth}</b> <span>{row.label}</span>
    </a>
  );
}

/** Whether the screen of this address stands in the frame with its ways to other screens. */
export function hasNav(route: Route | null): boolean {
  return route === null || !BARE.has(route.screen);
}

const PLACES: readonly { screen: ScreenName; path: string; text: string }[] = [
  { screen: "rooms", path: to.rooms(), text: words.nav.rooms },
  { screen: "protocols", path: to.protocols(), text: words.nav.protocols },
  { screen: "audit", path: to.audit(), text: words.nav.audit },
  { screen: "calculators", path: to.calculators(), text: words.nav.calculators },
  { screen: "device", path: to.device(), text: words.nav.device },
];

function toScreen(): void {
  document.getElementById("screen")?.focus();
}

const bands = signal<ComponentType | null>(null);

/** What the app has to say of itself comes beside the first screen, and is tried for until it has come. */
export function bringBands(): void {
  import("./app_bands").then(
    ({ AppBands }) => {
      bands.value = AppBands;
    },
    () => setTimeout(bringBands, AGAIN_MS),
  );
}

function Bands(): JSX.Element {
  const Known = bands.value;
  return <div class="frame-bands">{Known === null ? null : <Known />}</div>;
}
