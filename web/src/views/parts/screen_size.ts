/** Puts this device's size, reading distance and light on the page's root. */

import { effect } from "@preact/signals";
import { type Distance, settings } from "../../store/device";
import { route, type ScreenName } from "../../store/route";

/**
 * Factor on the size of text for a distance of reading. []
 *
 * At the hand 16 px of text stand 2.9 mm high in capitals, more than 22 minutes of arc at 0.4 m; the others
 * keep at least 16 minutes for text, and figures are larger.
 * Source: ISO 9241-3 as quoted in NUREG-0700, character height 16 minutes of arc at least, 20 to 22 preferred.
 */
const READ: { readonly [At in Distance]: number } = { hand: 1, arm: 1.2, stand: 1.7, wall: 3 };
const CSS_PX_PER_MM = 96 / 25.4;
const DARK_SCREENS: ReadonlySet<ScreenName> = new Set([
  "chair",
  "incident",
  "rooms",
  "staff_pick",
  "open_visit",
]);

export function startScreenSize(): () => void {
  return effect(() => {
    const { pxPerMm, distance, look } = settings.value;
    const root = document.documentElement;
    root.style.setProperty("--mm", `${pxPerMm}px`);
    root.style.setProperty(
      "--read",
      String(Math.max(1, (READ[distance] * pxPerMm) / CSS_PX_PER_MM)),
    );
    root.dataset.distance = distance;
    root.dataset.look = look === "auto" ? byScreen(route.value?.screen) : look;
  });
}

/** Dark where it is dim, light at the desk. */
function byScreen(screen: ScreenName | undefined): "dark" | "light" {
  return screen === undefined || DARK_SCREENS.has(screen) ? "dark" : "light";
}
