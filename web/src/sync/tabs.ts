/** Tells the other tabs of this device that the store has changed. */

const CHANNEL = "canalclock";

export interface TabNews {
  /** A visit whose lines were logged or settled. */
  readonly outbox: string;
}

let channel: BroadcastChannel | null = null;

export function tellTabs(news: TabNews): void {
  channel?.postMessage(news);
}

export function startTabs(heard: (news: TabNews) => void): () => void {
  if (globalThis.BroadcastChannel === undefined) return () => undefined;
  const opened = new BroadcastChannel(CHANNEL);
  opened.onmessage = (message: MessageEvent<TabNews>) => heard(message.data);
  channel = opened;
  return () => {
    opened.close();
    channel = null;
  };
}
