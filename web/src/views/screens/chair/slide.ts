/** What was just logged slides from the rack to its canal: one transform, none where less motion is wished. */

import type { Draft } from "../../../store/commands";

const SLIDE_MS = 150;
/** Where an act came from: the syringe in hand, else the tool, else the announced act. */
const FROM = [
  '.cc-syringe[aria-pressed="true"] .mark',
  '.cc-tab[aria-pressed="true"]:not([data-testid="tool-syringes"])',
  ".cc-next-do",
];

export function slide(drafts: readonly Draft[]): void {
  const site = drafts.map(siteOf).find((one) => one !== null);
  if (site === undefined || matchMedia("(prefers-reduced-motion: reduce)").matches) return;
  const from = FROM.map((where) => document.querySelector(where)).find((one) => one !== null);
  const to = document.querySelector(`[data-testid="site-${CSS.escape(site)}"]`);
  if (from === undefined || to === null) return;
  const [a, b] = [from.getBoundingClientRect(), to.getBoundingClientRect()];
  const copy = document.createElement("div");
  copy.className = "cc-sliding";
  copy.ariaHidden = "true";
  if (from.matches(".mark")) copy.append(from.cloneNode(true));
  Object.assign(copy.style, { left: `${a.x}px`, top: `${a.y}px` });
  document.body.append(copy);
  const [dx, dy] = [b.x + b.width / 2 - a.x, b.y + b.height / 2 - a.y];
  copy
    .animate([{ transform: "none" }, { transform: `translate(${dx}px, ${dy}px)` }], {
      duration: SLIDE_MS,
      easing: "ease-out",
    })
    .finished.finally(() => copy.remove());
}

/** Acts at a site move; what the guard said, picks and timers do not. */
function siteOf(draft: Draft): string | null {
  if (draft.kind === "syringe_picked" || draft.kind === "timer_set" || draft.kind === "canal_set")
    return null;
  const site = "site" in draft ? draft.site : "canal" in draft ? draft.canal : null;
  return typeof site === "string" ? site : null;
}
