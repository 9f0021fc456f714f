/** What the app itself has to say, above every screen: not saved, may be cleared, a new version. */

import { signal } from "@preact/signals";
import type { JSX } from "preact";
import { now } from "../../store/now";
import { outbox } from "../../store/outbox";
import { route, to } from "../../store/route";
import { lost } from "../../store/secure";
import { connected } from "../../store/server";
import { saveAgain, unsaved } from "../../store/unsaved";
import { newVersion, takeNewVersion } from "../../store/version";
import { visitOpenHere } from "../../store/visits";
import { words } from "../../strings/shell";
import { words as trust } from "../../strings/trust";
import { spanText } from "../canal/amounts";
import { Band } from "./bands";

const HOUR_MS = 3_600_000;
const LONG_MS = HOUR_MS;

const dismissed = signal(false);
/** Another page of this device has a visit open. */
const heldBack = signal(false);

export function AppBands(): JSX.Element {
  return (
    <>
      {unsaved.value.length > 0 ? <NotSaved /> : null}
      <Lacking />
      <LongUnsent />
      {newVersion.value && !dismissed.value ? <NewVersion /> : null}
    </>
  );
}

/** What a device lacks is said for as long as it lacks it: nobody should find out in a cellar. */
function Lacking(): JSX.Element | null {
  if (lost.value === null) return null;
  return (
    <Band level="caution" word={trust.lost_word}>
      {route.value?.screen === "trust" ? null : <a href={to.connection()}>{trust.lost_more}</a>}
    </Band>
  );
}

/** Entries that have waited long are at risk: browsers clear what is not used. */
function LongUnsent(): JSX.Element | null {
  const oldest = outbox.value[0]?.event;
  const waitedMs = oldest === undefined ? 0 : now.value - oldest.occurred_at_ms;
  if (waitedMs < LONG_MS) return null;
  return (
    <Band level="caution" word={words.link.pending_long(outbox.value.length)}>
      {words.link.since(spanText(Math.floor(waitedMs / HOUR_MS) * HOUR_MS))} {words.disk.may_go}
    </Band>
  );
}

function NotSaved(): JSX.Element {
  const again = (
    <button type="button" class="press" onClick={() => void saveAgain().catch(() => undefined)}>
      {words.disk.retry}
    </button>
  );
  return <Band level="hold" word={words.disk.failing} answers={again} />;
}

async function take(): Promise<void> {
  heldBack.value = !(await takeNewVersion());
}

function NewVersion(): JSX.Element {
  const waits = visitOpenHere.value || heldBack.value;
  return (
    <Band level="note" word={words.update.ready}>
      {waits ? words.update.waits : null}
      {visitOpenHere.value ? null : (
        <span class="choices">
          <button
            type="button"
            class="press"
            disabled={!connected.value}
            onClick={() => void take()}
          >
            {words.update.take}
          </button>
          <button
            type="button"
            class="press quiet"
            onClick={() => {
              dismissed.value = true;
            }}
          >
            {words.close}
          </button>
        </span>
      )}
    </Band>
  );
}
