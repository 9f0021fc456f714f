/** Where the person is: the address as a signal, changed without loading the page anew. */

import { computed, type ReadonlySignal, signal } from "@preact/signals";

/** Every screen; each is a folder of views/screens. */
export const SCREEN_NAMES = [
  "rooms",
  "staff_pick",
  "open_visit",
  "protocols",
  "chair",
  "review",
  "incident",
  "audit",
  "calculators",
  "set_out",
  "device",
  "tray",
  "trust",
] as const;
export type ScreenName = (typeof SCREEN_NAMES)[number];

export interface Route {
  readonly screen: ScreenName;
  /** The visit, the protocol's kit, or the calculator that the address names. */
  readonly subject: string | null;
  readonly query: URLSearchParams;
}

const VISIT_SCREENS = {
  review: "review",
  incident: "incident",
  "set-out": "set_out",
} as const;
const PLAIN: { readonly [path: string]: ScreenName } = {
  "": "rooms",
  who: "staff_pick",
  open: "open_visit",
  protocols: "protocols",
  audit: "audit",
  calculators: "calculators",
  "set-out": "set_out",
  device: "device",
  refused: "tray",
  connection: "trust",
};

/** Plain screens whose address may name one thing of theirs. */
const WITH_SUBJECT: ReadonlySet<ScreenName> = new Set(["protocols", "calculators"]);

const address = signal(globalThis.location?.href ?? "http://localhost/");

/** The screen that the address asks for; null = there is none such. */
export const route: ReadonlySignal<Route | null> = computed(() => routeOf(address.value));

export function routeOf(href: string): Route | null {
  const url = new URL(href);
  const [first = "", second, third, ...rest] = url.pathname
    .split("/")
    .filter((part) => part !== "");
  const query = url.searchParams;
  if (rest.length > 0) return null;
  if (first === "visits" && second !== undefined) {
    const subject = decodeURIComponent(second);
    if (third === undefined) return { screen: "chair", subject, query };
    if (!Object.hasOwn(VISIT_SCREENS, third)) return null;
    return { screen: VISIT_SCREENS[third as keyof typeof VISIT_SCREENS], subject, query };
  }
  const screen = Object.hasOwn(PLAIN, first) ? PLAIN[first] : undefined;
  if (screen === undefined || third !== undefined) return null;
  if (second !== undefined && !WITH_SUBJECT.has(screen)) return null;
  return { screen, subject: second === undefined ? null : decodeURIComponent(second), query };
}

/** Addresses, so that no screen spells one itself. */
export const to = {
  rooms: () => "/",
  who: () => "/who",
  open: (query: { room?: string; course?: string; protocol?: string } = {}) => {
    const search = new URLSearchParams(query).toString();
    return search === "" ? "/open" : `/open?${search}`;
  },
  chair: (visit: string) => `/visits/${encodeURIComponent(visit)}`,
  review: (visit: string) => `/visits/${encodeURIComponent(visit)}/review`,
  incident: (visit: string) => `/visits/${encodeURIComponent(visit)}/incident`,
  /** Of a visit, or of the one that is being opened. */
  setOut: (visit: string | null = null) =>
    visit === null ? "/set-out" : `/visits/${encodeURIComponent(visit)}/set-out`,
  protocols: () => "/protocols",
  protocol: (kit: string) => `/protocols/${encodeURIComponent(kit)}`,
  audit: () => "/audit",
  calculators: () => "/calculators",
  calculator: (name: string) => `/calculators/${encodeURIComponent(name)}`,
  device: () => "/device",
  refused: () => "/refused",
  connection: () => "/connection",
} as const;

/** Go to an address of this app. */
export function go(path: string, { replace = false } = {}): void {
  if (replace) history.replaceState(null, "", path);
  else history.pushState(null, "", path);
  address.value = location.href;
  scrollTo(0, 0);
}

/** Follow the back button and taps on links of this app. */
export function startRouting(): () => void {
  const moved = (): void => {
    address.value = location.href;
  };
  const tapped = (event: MouseEvent): void => {
    const path = pathOfTap(event);
    if (path === null) return;
    event.preventDefault();
    go(path);
  };
  addEventListener("popstate", moved);
  document.addEventListener("click", tapped);
  return () => {
    removeEventListener("popstate", moved);
    document.removeEventListener("click", tapped);
  };
}

function pathOfTap(event: MouseEvent): string | null {
  if (event.defaultPrevented || event.button !== 0) return null;
  if (event.metaKey || event.ctrlKey || event.shiftKey || event.altKey) return null;
  const link = event.target instanceof Element ? event.target.closest("a") : null;
  if (link === null || link.target !== "" || link.hasAttribute("download")) return null;
  if (link.origin !== location.origin || link.pathname.startsWith("/api/")) return null;
  return link.pathname + link.search + link.hash;
}
