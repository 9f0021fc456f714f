/** Brings the store up to date while there is a server, and tells the server what was logged. */

import { effect } from "@preact/signals";
import { wantedKits } from "../store/clinic";
import { device, settings } from "../store/device";
import { metaOf, setMeta } from "../store/disk";
import { exactNow } from "../store/now";
import { forgetOldSent } from "../store/outbox";
import { type Server, setServer } from "../store/server";
import { watched } from "../store/visits";
import { fetchClinic, fetchEntries, fetchKit, fetchVisits } from "./fetching";
import { ask } from "./http";
import type { Cursor, startKeeping } from "./keeping";

const TOGETHER_MS = 50;
const AGAIN_MS = 2000;

const online: Server = {
  get: (path) => ask(path),
  post: (path, question) => ask(path, { method: "POST", body: question }),
  sign: (visit, request) =>
    ask(`/visits/${encodeURIComponent(visit)}/sign`, {
      method: "POST",
      body: JSON.stringify(request),
    }),
  refresh: fetchEntries,
};

/** Start every kind of exchange with the server; answers how to stop. */
export function startSync(): () => void {
  setServer(online);
  const feed = new FeedCursor();
  const catchUp = soon(async () => {
    if (await fetchClinic()) feed.restart();
    await fetchVisits(exactNow());
    const watching = [...new Set(watched.peek())].map(fetchEntries);
    await Promise.allSettled([...watching, ...wantedKits.peek().map(fetchKit)]);
    await register();
    await forgetOldSent(exactNow());
  });
  const listVisits = soon(() => fetchVisits(exactNow()));
  const news = (visits: readonly string[]): void => {
    listVisits();
    const here = new Set(watched.peek());
    for (const visit of visits) if (here.has(visit)) quietly(fetchEntries(visit));
  };
  const stops = [
    effect(() => {
      for (const visit of new Set(watched.value)) quietly(fetchEntries(visit));
    }),
    effect(() => {
      for (const digest of wantedKits.value) quietly(fetchKit(digest));
    }),
  ];
  void feed.load();
  catchUp();
  bringKeeping((keeping) => {
    stops.push(keeping({ feed, news, caughtUp: catchUp }));
  });
  return () => {
    for (const stop of stops) stop();
  };
}

/** Sending, live news and the clock come beside the first screen; until they have, they are tried for. */
function bringKeeping(start: (keep: typeof startKeeping) => void): void {
  import("./keeping").then(
    (keeping) => start(keeping.startKeeping),
    () => setTimeout(() => bringKeeping(start), AGAIN_MS),
  );
}

async function register(): Promise<void> {
  const identity = device.peek();
  if (identity === null) return;
  const { title, room } = settings.peek();
  await ask("/devices", {
    method: "POST",
    body: JSON.stringify({ device: identity, title: title || identity.slice(-6), room }),
  });
}

class FeedCursor implements Cursor {
  at = 0;

  async load(): Promise<void> {
    this.move((await metaOf<number>("feed").catch(() => undefined)) ?? 0);
  }

  move(to: number): void {
    if (to > this.at) this.#set(to);
  }

  /** Another ledger counts anew. */
  restart(): void {
    this.#set(0);
  }

  #set(to: number): void {
    this.at = to;
    void setMeta("feed", to).catch(() => undefined);
  }
}

/** Calls close together run `act` once, and never two at a time. */
function soon(act: () => Promise<unknown>): () => void {
  let waiting = false;
  let running: Promise<unknown> = Promise.resolve();
  return () => {
    if (waiting) return;
    waiting = true;
    setTimeout(() => {
      waiting = false;
      running = running.catch(() => undefined).then(act);
      quietly(running);
    }, TOGETHER_MS);
  };
}

/** What could not be fetched now is fetched when the line is up again. */
function quietly(work: Promise<unknown>): void {
  work.catch(() => undefined);
}
