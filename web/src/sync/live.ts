/**
 * Hears news of the clinic's record. The socket only hints; what is true is read after the cursor.
 *
 * Silence for longer than two heartbeats is a dead line whatever its label says. While the socket is down
 * the feed is read every two seconds.
 */

import { setConnected } from "../store/server";
import { ask } from "./http";
import { delayMs } from "./waiting";

const SILENCE_MS = 12_000;
const POLL_MS = 2000;

export interface News {
  readonly feed: number;
  readonly visit: string;
  readonly seq: number;
}

export interface LiveHandlers {
  /** Where reading goes on. */
  readonly cursor: () => number;
  readonly moveCursor: (feed: number) => void;
  readonly news: (visits: readonly string[]) => void;
  /** The line is up again: everything watched is to be read once. */
  readonly caughtUp: () => void;
}

/** Listen until stopped. */
export function startLive(handlers: LiveHandlers): () => void {
  const line = new LiveLine(handlers);
  line.start();
  return () => line.stop();
}

class LiveLine {
  readonly #handlers: LiveHandlers;
  #socket: WebSocket | null = null;
  #heardAtMs = 0;
  #failures = 0;
  #stopped = false;
  #again: ReturnType<typeof setTimeout> | undefined;
  #watch: ReturnType<typeof setInterval> | undefined;
  #polling = false;

  constructor(handlers: LiveHandlers) {
    this.#handlers = handlers;
  }

  start(): void {
    addEventListener("offline", this.#offline);
    addEventListener("online", this.#wake);
    document.addEventListener("visibilitychange", this.#visible);
    this.#watch = setInterval(() => this.#look(), POLL_MS);
    this.#connect();
    void this.#poll();
  }

  stop(): void {
    this.#stopped = true;
    removeEventListener("offline", this.#offline);
    removeEventListener("online", this.#wake);
    document.removeEventListener("visibilitychange", this.#visible);
    clearInterval(this.#watch);
    clearTimeout(this.#again);
    this.#drop();
  }

  readonly #offline = (): void => {
    setConnected(false);
    this.#drop();
  };

  readonly #wake = (): void => {
    clearTimeout(this.#again);
    this.#failures = 0;
    if (this.#socket === null) this.#connect();
  };

  readonly #visible = (): void => {
    if (document.visibilityState !== "visible") return;
    if (performance.now() - this.#heardAtMs > SILENCE_MS) this.#drop();
    this.#wake();
    void this.#poll();
  };

  #look(): void {
    const silent = performance.now() - this.#heardAtMs > SILENCE_MS;
    if (this.#socket !== null && silent) {
      this.#drop();
      this.#later();
    }
    if (this.#socket?.readyState !== WebSocket.OPEN) void this.#poll();
  }

  #connect(): void {
    if (this.#stopped || this.#socket !== null) return;
    const scheme = location.protocol === "https:" ? "wss:" : "ws:";
    const after = this.#handlers.cursor();
    const socket = new WebSocket(`${scheme}//${location.host}/api/live?after=${after}`);
    this.#socket = socket;
    this.#heardAtMs = performance.now();
    socket.onopen = () => {
      this.#failures = 0;
      this.#heard();
      this.#handlers.caughtUp();
    };
    socket.onmessage = (message) => this.#message(message.data);
    socket.onclose = () => {
      if (this.#socket !== socket) return;
      this.#socket = null;
      this.#later();
    };
  }

  #later(): void {
    if (this.#stopped) return;
    this.#failures += 1;
    clearTimeout(this.#again);
    this.#again = setTimeout(() => this.#connect(), delayMs(this.#failures));
  }

  #drop(): void {
    const socket = this.#socket;
    this.#socket = null;
    socket?.close();
  }

  #heard(): void {
    this.#heardAtMs = performance.now();
    setConnected(true);
  }

  #message(data: unknown): void {
    this.#heard();
    const news = newsOf(data);
    if (news === null) return;
    this.#handlers.moveCursor(news.feed);
    this.#handlers.news([news.visit]);
  }

  async #poll(): Promise<void> {
    if (this.#polling || this.#stopped) return;
    this.#polling = true;
    try {
      const heard = await ask<{ feed: number; news: readonly News[] }>(
        `/feed?after=${this.#handlers.cursor()}`,
        { withinMs: 5000 },
      );
      const visits = [...new Set(heard.news.map((one) => one.visit))];
      if (visits.length > 0) this.#handlers.news(visits);
      this.#handlers.moveCursor(heard.feed);
    } catch {
      // the next look asks again
    } finally {
      this.#polling = false;
    }
  }
}

/** News in a message; null for heartbeats, alarms (derived here too) and what is not ours. */
export function newsOf(data: unknown): News | null {
  if (typeof data !== "string") return null;
  try {
    const said = JSON.parse(data) as Partial<News>;
    const whole = typeof said.feed === "number" && typeof said.visit === "string";
    return whole ? { feed: said.feed ?? 0, visit: said.visit ?? "", seq: said.seq ?? 0 } : null;
  } catch {
    return null;
  }
}
