/** The wiring: store, sync, screens and the worker that keeps the app's files. */

import "./views/style/tokens.css";
import "./views/style/base.css";
import "./views/style/parts.css";
import "./views/style/frame.css";
import { effect } from "@preact/signals";
import { type ComponentType, type JSX, render } from "preact";
import { useEffect, useState } from "preact/hooks";
import { loadClinic } from "./store/clinic";
import { bringCore } from "./store/core";
import { loadDevice } from "./store/device";
import { exactNow, startTicking } from "./store/now";
import { loadOutbox } from "./store/outbox";
import { go, type Route, route, type ScreenName, startRouting, to } from "./store/route";
import { loadVisits } from "./store/visits";
import { words } from "./strings/shell";
import { startSync } from "./sync/start";
import { bringBands, Frame, hasNav } from "./views/parts/frame";
import { startScreenSize } from "./views/parts/screen_size";
import { Rooms } from "./views/screens/rooms";

interface ScreenProps {
  readonly subject: string | null;
  readonly query: URLSearchParams;
}
type Screen = ComponentType<ScreenProps>;

/** Every screen but the first comes when it is asked for. */
const SCREENS = import.meta.glob<{ default: Screen }>([
  "./views/screens/*/index.tsx",
  "!./views/screens/rooms/index.tsx",
]);

const fetched = new Map<ScreenName, Screen>([["rooms", Rooms]]);

function App(): JSX.Element {
  const here = route.value;
  return (
    <Frame route={here}>
      {here === null ? <NotFound /> : <ScreenAt key={here.screen} here={here} />}
    </Frame>
  );
}

function ScreenAt({ here }: { readonly here: Route }): JSX.Element {
  const [failed, setFailed] = useState(false);
  const [Known, setKnown] = useState<Screen | null>(() => fetched.get(here.screen) ?? null);
  useEffect(() => {
    if (Known !== null || failed) return;
    fetchScreen(here.screen).then(
      (screen) => setKnown(() => screen),
      () => setFailed(true),
    );
  }, [here.screen, failed, Known]);
  if (Known !== null)
    return <Known key={here.subject ?? ""} subject={here.subject} query={here.query} />;
  if (failed) return <Missing onAgain={() => setFailed(false)} />;
  return <p class="soft">{words.loading}</p>;
}

async function fetchScreen(name: ScreenName): Promise<Screen> {
  const known = fetched.get(name);
  if (known !== undefined || name === "rooms") return known ?? Rooms;
  const bring = SCREENS[`./views/screens/${name}/index.tsx`];
  if (bring === undefined) throw new Error(`there is no screen ${name}`);
  const { default: screen } = await bring();
  fetched.set(name, screen);
  return screen;
}

function Missing({ onAgain }: { readonly onAgain: () => void }): JSX.Element {
  return (
    <section class="tray">
      <p>{words.screen_missing}</p>
      <button type="button" class="press" onClick={onAgain}>
        {words.try_again}
      </button>
    </section>
  );
}

function NotFound(): JSX.Element {
  return (
    <section class="tray">
      <p>{words.not_found}</p>
      <button type="button" class="press" onClick={() => go(to.rooms())}>
        {words.to_rooms}
      </button>
    </section>
  );
}

async function start(): Promise<void> {
  const app = document.getElementById("app");
  if (app === null) throw new Error("index.html has no #app");
  startScreenSize();
  startRouting();
  startTicking();
  effect(() => {
    app.className = hasNav(route.value) ? "with-nav" : "";
  });
  bringCore().catch(() => undefined);
  const kept = Promise.all([loadDevice(exactNow()), loadClinic(), loadOutbox(), loadVisits()]);
  await kept.catch(() => undefined);
  render(<App />, app);
  startSync();
  bringBands();
  import("./sync/worker").then(({ startWorker }) => startWorker()).catch(() => undefined);
}

void start();
