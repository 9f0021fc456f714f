/** Taking back and setting right what was just logged; both stay readable in the record. */

import { log, newId } from "../../../store/commands";
import { exactNow } from "../../../store/now";
import { words } from "../../../strings/chair";
import type { Chair } from "./chair_state";
import { adjustable, payloadOf, undoDrafts } from "./undo";

export async function undo(chair: Chair): Promise<void> {
  const last = chair.last.peek();
  if (last === null) return;
  chair.last.value = null;
  await log(chair.visit, ...undoDrafts(last, words.undo_reason));
}

/** Step the amount of what was just logged: an open correction, seen with both values. */
export async function adjust(chair: Chair, volumeUl: number): Promise<void> {
  const last = chair.last.peek();
  const delivery = adjustable(last);
  if (last === null || delivery === null) return;
  const id = newId();
  const how = delivery.how === "planned" ? "estimated" : delivery.how;
  const payload = payloadOf(delivery, { volume_ul: volumeUl, how });
  const events = last.events.map((event) =>
    event.id === delivery.id ? { ...event, volume_ul: volumeUl } : event,
  );
  const versions = new Map(last.versions).set(delivery.id, id);
  chair.last.value = { ...last, events, versions, atMs: exactNow() };
  await log(chair.visit, {
    kind: "entry_corrected",
    id,
    entry: delivery.id,
    replaces: last.versions.get(delivery.id) ?? delivery.id,
    reason: words.adjusted_reason,
    payload,
  });
}
