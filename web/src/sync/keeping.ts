/** What goes on as long as the page lives: the clock, sending, live news, other tabs. */

import { loadOutbox } from "../store/outbox";
import { startClock } from "./clock";
import { startLive } from "./live";
import { startOutbox } from "./outbox";
import { startTabs } from "./tabs";

/** Where reading the clinic's feed goes on. */
export interface Cursor {
  readonly at: number;
  move(to: number): void;
}

export interface Kept {
  readonly feed: Cursor;
  readonly news: (visits: readonly string[]) => void;
  readonly caughtUp: () => void;
}

/** Start all of it; answers how to stop. */
export function startKeeping({ feed, news, caughtUp }: Kept): () => void {
  const sending = startOutbox();
  const otherTab = (): void => {
    loadOutbox().then(sending.wake, () => undefined);
  };
  const stops = [
    startClock(),
    sending.stop,
    startTabs(otherTab),
    startLive({ cursor: () => feed.at, moveCursor: (to) => feed.move(to), news, caughtUp }),
  ];
  return () => {
    for (const stop of stops) stop();
  };
}
