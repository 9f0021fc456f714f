/**
 * The canals at the chair: names above, the tooth to scale, times below; each column one target.
 *
 * The targets lie over the drawing and say in words what it shows.
 */

import type { JSX } from "preact";
import { useLayoutEffect, useRef, useState } from "preact/hooks";
import type { Level, Mix } from "../../../core/types";
import { words } from "../../../strings/chair";
import { canalText, depthText } from "../../canal/amounts";
import { type Box, toothPicture } from "../../canal/geometry";
import { type Entry, markOf } from "../../canal/marks";
import { type Drawn, Tooth } from "../../canal/tooth";
import { type CanalNow, type ColumnView, columnView } from "./column_model";
import { Press } from "./press";
import { Sign } from "./sign";
import { formText } from "./texts";

interface ToothPanelProps {
  readonly canals: readonly CanalNow[];
  readonly chamber: Mix | null;
  readonly entries: readonly Entry[];
  readonly nowMs: number;
  /** Levels of the targets while something is in the hand; null = canals are not targets. */
  readonly targets: ReadonlyMap<string, Level | null> | null;
  readonly next: string | null;
  readonly timing: string | null;
  readonly onSite: (site: string) => void;
  readonly onAdd: () => void;
}

export function ToothPanel(props: ToothPanelProps): JSX.Element {
  const frame = useRef<HTMLDivElement>(null);
  const box = useBox(frame);
  const { canals, entries, nowMs, targets } = props;
  const picture = toothPicture(canals, box);
  const views = canals.map((canal, index) => {
    const placed = picture.canals[index];
    return placed === undefined ? null : columnView(canal, placed, picture, entries, nowMs);
  });
  const floor = Math.min(box.height, ...picture.canals.map((placed) => placed.orificeY));
  const chamber = props.chamber === null ? null : markOf(props.chamber, entries);
  const columns = { gridTemplateColumns: `repeat(${Math.max(1, canals.length)}, minmax(0, 1fr))` };
  const lit = targets !== null ? " cc-lit" : "";
  return (
    <section class={`cc-tooth${lit}`} aria-label={words.title}>
      <div class="cc-names" style={columns} aria-hidden="true">
        {canals.map((canal) => (
          <span
            key={canal.canal}
            class={canal.canal === props.next ? "cc-name cc-name-next" : "cc-name"}
          >
            <TargetSign level={targets?.get(canal.canal) ?? null} />{" "}
            {canal.name ?? canalText(canal.canal)}
          </span>
        ))}
      </div>
      <div class="cc-picture" ref={frame}>
        {box.height > 40 && (
          <Tooth
            id="cc"
            picture={picture}
            width={box.width}
            height={box.height}
            chamber={chamber}
            platePx={plateHeight()}
            columns={canals.flatMap((canal, index) => {
              const view = views[index];
              return view ? [drawnOf(canal, view)] : [];
            })}
          />
        )}
        <Press
          class="cc-target cc-target-chamber"
          label={chamber === null ? words.chamber_empty : words.chamber_holds(chamber.long)}
          style={{ height: `${Math.max(44, floor)}px` }}
          onPress={() => props.onSite("chamber")}
          testid="site-chamber"
        >
          <span class="cc-chamber-name">
            {words.chamber} {chamber !== null && <b>{chamber.short}</b>}
          </span>
          <TargetSign level={targets?.get("chamber") ?? null} />
        </Press>
      </div>
      <div class="cc-clocks" style={columns}>
        {canals.map((canal, index) => {
          const view = views[index];
          return view ? (
            <ClockCell key={canal.canal} canal={canal} view={view} entries={entries} />
          ) : null;
        })}
      </div>
      <div class="cc-targets" style={{ ...columns, paddingTop: `${floor}px` }}>
        {canals.map((canal, index) => (
          <Press
            key={canal.canal}
            class={`cc-target cc-target-canal${props.timing === canal.canal ? " cc-timing" : ""}${canal.canal === props.next ? " cc-target-next" : ""}`}
            label={levelled(
              targets?.get(canal.canal) ?? null,
              spokenOf(canal, views[index] ?? null, entries),
            )}
            onPress={() => props.onSite(canal.canal)}
            testid={`site-${canal.canal}`}
          >
            {null}
          </Press>
        ))}
      </div>
      {canals.length === 0 && (
        <div class="cc-no-canals">
          <p>{words.canal.none}</p>
          <Press class="cc-answer" onPress={props.onAdd}>
            {words.canal.add}
          </Press>
        </div>
      )}
      <p class="cc-scale-note">
        <span>{words.canal.width_factor(picture.widthFactor)}</span>{" "}
        <span>{words.canal.judgement}</span>
      </p>
    </section>
  );
}

const PLATE_REM = 1.5;

/** Plates grow with the text of this device. [px] */
function plateHeight(): number {
  const rem = Number.parseFloat(getComputedStyle(document.documentElement).fontSize);
  return Number.isFinite(rem) ? rem * PLATE_REM : 24;
}

function TargetSign(props: { readonly level: Level | null }): JSX.Element | null {
  if (props.level === null) return null;
  return (
    <span class={`cc-target-sign cc-target-${props.level}`}>
      <Sign level={props.level} /> <b>{words.speak[props.level]}</b>
    </span>
  );
}

function drawnOf(canal: CanalNow, view: ColumnView): Drawn {
  return {
    canal: view.canal,
    placed: view.placed,
    fills: view.fills,
    levelY: view.levelY,
    unreached: view.unreached,
    tip: view.tip,
    letter: view.letter,
    blocked: canal.state === "blocked",
    filled: canal.state === "filled",
    faint: canal.state === "suspected" || canal.state === "left",
    working: view.activation !== null,
  };
}

function ClockCell(props: {
  readonly canal: CanalNow;
  readonly view: ColumnView;
  readonly entries: readonly Entry[];
}): JSX.Element {
  const { canal, view } = props;
  const { clock, activation } = view;
  return (
    <div class={`cc-clock cc-clock-${clock.kind}`} aria-hidden="true">
      {activation === null ? (
        <span class={timeOf(view).length > 5 ? "cc-time cc-time-long" : "cc-time"}>
          {timeOf(view)}
        </span>
      ) : (
        <span class="cc-time cc-time-working">
          {activation.countsDown ? activation.text : `+${activation.text}`}
        </span>
      )}
      <span class="cc-caption">{activation === null ? captionOf(view) : words.canal.working}</span>
      {view.unreached !== null && (
        <span class="cc-caption cc-caption-more">
          {words.canal.not_reached(depthText(view.unreached.lastUm))}
        </span>
      )}
      <span class="cc-caption cc-shape">
        {formText(canal.workingLengthUm, canal.apicalSize, canal.taperUmPerMm)}
      </span>
      {canal.stepsLeft !== null && (
        <span class="cc-caption cc-caption-steps">
          {canal.stepsLeft > 0 ? words.canal.steps_left(canal.stepsLeft) : words.canal.steps_done}
        </span>
      )}
    </div>
  );
}

function timeOf(view: ColumnView): string {
  const { kind, text } = view.clock;
  if (text === null) return wordOf(kind);
  return kind === "reached" || kind === "over_limit" ? `+${text}` : text;
}

function captionOf(view: ColumnView): string {
  switch (view.clock.kind) {
    case "left":
      return words.canal.left;
    case "reached":
      return words.canal.reached;
    case "over_limit":
      return `▲ ${words.canal.over_limit}`;
    case "in":
      return words.canal.in;
    default:
      return "";
  }
}

function wordOf(kind: ColumnView["clock"]["kind"]): string {
  switch (kind) {
    case "dry":
      return words.canal.dry;
    case "filled":
      return words.canal.filled;
    case "left_alone":
      return words.canal.left_alone;
    default:
      return words.canal.empty;
  }
}

/** The target's level comes first, for those who hear it. */
function levelled(level: Level | null, text: string): string {
  return level === null ? text : `${words.speak[level]}: ${text}`;
}

/** All that the column shows, as one sentence; times are left to the clock, which would never be silent. */
function spokenOf(canal: CanalNow, view: ColumnView | null, entries: readonly Entry[]): string {
  const bands = canal.bands.map(
    (band) =>
      `${markOf(band.contents, entries).long} ${depthText(band.fromUm)} – ${depthText(band.toUm)}`,
  );
  return [
    canal.name ?? canalText(canal.canal),
    ...(bands.length > 0 ? bands : [view === null ? "" : wordOf(view.clock.kind)]),
    view !== null && view.unreached !== null
      ? `${words.canal.not_reached(depthText(view.unreached.lastUm))} (${words.canal.not_reached_why})`
      : "",
    view !== null && view.clock.text !== null ? `${captionOf(view)} ${view.clock.text}` : "",
    formText(canal.workingLengthUm, canal.apicalSize, canal.taperUmPerMm),
    canal.joins === null ? "" : words.canal.joins(canalText(canal.joins.canal)),
    canal.stepsLeft === null ? "" : words.canal.steps_left(canal.stepsLeft),
  ]
    .filter((part) => part !== "")
    .join(", ");
}

/** Size of an element, kept up to date. */
function useBox(frame: { readonly current: HTMLDivElement | null }): Box {
  const [box, setBox] = useState<Box>({ width: 320, height: 0 });
  useLayoutEffect(() => {
    const element = frame.current;
    if (element === null) return;
    const measure = (): void => {
      const { clientWidth, clientHeight } = element;
      setBox((known) =>
        known.width === clientWidth && known.height === clientHeight
          ? known
          : { width: clientWidth, height: clientHeight },
      );
    };
    measure();
    const watcher = new ResizeObserver(measure);
    watcher.observe(element);
    return () => watcher.disconnect();
  }, []);
  return box;
}
