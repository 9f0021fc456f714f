/** What the app itself has to say, above every screen: not saved, may be cleared, a new version. */

import { signal } from "@preact/signals";
import type { JSX } from "preact";
import { connected } from "../../store/server";
import { saveAgain, unsaved } from "../../store/unsaved";
import { newVersion, takeNewVersion } from "../../store/version";
import { visitOpenHere } from "../../store/visits";
import { words } from "../../strings/shell";
import { Band } from "./bands";

const dismissed = signal(false);
/** Another page of this device has a visit open. */
const heldBack = signal(false);

export function AppBands(): JSX.Element {
  return (
    <div class="frame-bands">
      {unsaved.value.length > 0 ? <NotSaved /> : null}
      {newVersion.value && !dismissed.value ? <NewVersion /> : null}
    </div>
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
