/** This device: name, room, reading distance, light, size on glass, notation, and what it still holds. */

import "./device.css";
import { signal } from "@preact/signals";
import type { JSX } from "preact";
import { useEffect } from "preact/hooks";
import { clinic, notation } from "../../../store/clinic";
import { changeSettings, type Distance, device, type Look, settings } from "../../../store/device";
import { clockError } from "../../../store/now";
import { outbox, tray } from "../../../store/outbox";
import { to } from "../../../store/route";
import { serverVersion } from "../../../store/server";
import type { NotationName } from "../../../store/shapes";
import { words } from "../../../strings/device";
import { words as shell } from "../../../strings/shell";
import { Choices } from "../../parts/choices";

const RULER_MM = 50;
const kept = signal<boolean | null>(null);

export default function Device(): JSX.Element {
  const { title, room, distance, look } = settings.value;
  const change = (part: Parameters<typeof changeSettings>[0]): void => void changeSettings(part);
  const rooms = [
    { value: "", text: words.no_room },
    ...(clinic.value?.rooms ?? []).map((one) => ({ value: one.room, text: one.title })),
  ];
  return (
    <section class="device">
      <h1>{words.title}</h1>
      <label class="field">
        <span>{words.name}</span>
        <input
          class="entry"
          value={title}
          maxLength={60}
          onChange={(event) => change({ title: event.currentTarget.value })}
        />
      </label>
      <Choices
        label={words.room}
        options={rooms}
        value={room ?? ""}
        onPick={(value) => change({ room: value === "" ? null : value })}
      />
      <Choices<Distance>
        label={words.distance}
        options={entriesOf(words.distances)}
        value={distance}
        onPick={(value) => change({ distance: value })}
      />
      <Choices<Look>
        label={words.look}
        options={entriesOf(words.looks)}
        value={look}
        onPick={(value) => change({ look: value })}
      />
      <Choices<NotationName>
        label={words.notation}
        options={entriesOf(words.notations)}
        value={notation.value}
        onPick={(value) => change({ notation: value })}
      />
      <Ruler />
      <Held />
    </section>
  );
}

function Ruler(): JSX.Element {
  const pxPerMm = settings.value.pxPerMm;
  return (
    <fieldset class="field">
      <span>{words.ruler}</span>
      <p class="small soft">{words.ruler_help}</p>
      <div class="ruler" style={{ width: `${RULER_MM * pxPerMm}px` }} aria-hidden="true" />
      <input
        type="range"
        min={2}
        max={12}
        step={0.02}
        value={pxPerMm}
        aria-label={words.ruler_bar}
        onInput={(event) => void changeSettings({ pxPerMm: event.currentTarget.valueAsNumber })}
      />
    </fieldset>
  );
}

function Held(): JSX.Element {
  useEffect(() => {
    void navigator.storage?.persisted?.().then((is) => {
      kept.value = is;
    });
  }, []);
  const waiting = outbox.value.length;
  const error = clockError.value;
  const clock =
    error === null
      ? shell.link.clock_unset
      : shell.link.clock_error(`${(error / 1000).toFixed(2)} s`);
  const version = serverVersion.value;
  return (
    <div class="tray small">
      <p>{waiting === 0 ? words.sent : shell.link.pending_long(waiting)}</p>
      {tray.value.length > 0 ? (
        <p>
          <a href={to.refused()}>{shell.link.refused(tray.value.length)}</a>
        </p>
      ) : null}
      <p>{clock}</p>
      {kept.value === null ? null : <p>{kept.value ? words.storage_kept : shell.disk.may_go}</p>}
      {version === null ? null : <p>{words.version(version.version)}</p>}
      <p>
        <a href={to.connection()}>{words.connection}</a>
      </p>
      <p class="soft">
        {words.identity}: <code>{device.value}</code>
      </p>
    </div>
  );
}

function entriesOf<Value extends string>(
  texts: {
    readonly [Name in Value]: string;
  },
): readonly { value: Value; text: string }[] {
  return (Object.entries(texts) as [Value, string][]).map(([value, text]) => ({ value, text }));
}
