/** The canals of one visit side by side, small: what is in each, for how long, and what is due. */

import type { JSX } from "preact";
import { useId } from "preact/hooks";
import type { Canal, Timer, VisitRecord } from "../../../core/types.ts";
import { isDue } from "../../../store/due";
import { type Holding, holdingOf } from "../../../store/holding";
import { now } from "../../../store/now";
import { kitOfVisit, recordOf } from "../../../store/records";
import { words as shell } from "../../../strings/shell";
import { canalText, elapsedText, remainingText } from "../../canal/amounts";
import { type Entry, type Mark, markOf, type Part } from "../../canal/marks";
import { Patterns, patternId } from "../../canal/patterns";

const words = shell.rooms;

export function CanalsNow({ visit }: { readonly visit: string }): JSX.Element {
  const record = recordOf(visit).value;
  if (record === null) return <span class="soft small">{words.not_heard}</span>;
  const catalogue = kitOfVisit(visit).value?.catalogue.irrigants ?? [];
  if (record.canals.length === 0) return <span class="soft small">{words.canals_none}</span>;
  return (
    <span
      class="canals-now"
      style={{ gridTemplateColumns: `repeat(${record.canals.length}, minmax(0, 1fr))` }}
    >
      <Chamber held={record.chamber} catalogue={catalogue} />
      {record.canals.map((canal) => (
        <CanalNow
          key={canal.canal}
          canal={canal}
          held={holdingOf(record, canal.canal, now.value)}
          timer={timerOf(record, canal.canal)}
          catalogue={catalogue}
        />
      ))}
      {record.unread.length > 0 ? <span class="small">{words.unread}</span> : null}
    </span>
  );
}

interface CanalNowProps {
  readonly canal: Canal;
  readonly held: readonly Holding[];
  readonly timer: Timer | null;
  readonly catalogue: readonly Entry[];
}

function CanalNow({ canal, held, timer, catalogue }: CanalNowProps): JSX.Element {
  const filled = held.map((one) => ({ one, mark: markOf(one.contents, catalogue) }));
  return (
    <span class="canal-now">
      <Shape canal={canal} filled={filled} />
      <span class="name">{canalText(canal.canal)}</span>
      {filled.length === 0 ? <span class="soft">{stateText(canal.state)}</span> : null}
      {filled.map(({ one, mark }) => (
        <span key={mark.key} class="holds">
          <span class="unseen">{mark.long}, </span>
          <b aria-hidden="true">{mark.letter}</b>
          <span>{elapsedText(now.value - one.since_ms)}</span>
        </span>
      ))}
      {timer === null ? null : <TimerText timer={timer} />}
    </span>
  );
}

function TimerText({ timer }: { readonly timer: Timer }): JSX.Element {
  if (isDue(timer, now.value)) return <strong class="due">{words.due}</strong>;
  return <span class="left">{remainingText(timer.due_at_ms - now.value)}</span>;
}

/** The chamber that all canals open into, with what it holds. */
function Chamber(props: {
  readonly held: readonly Part[] | null;
  readonly catalogue: readonly Entry[];
}): JSX.Element {
  const prefix = `chamber${useId()}`.replace(/[^a-z0-9-]/gi, "-");
  if (props.held === null) return <span class="chamber-now" />;
  const mark = markOf(props.held, props.catalogue);
  return (
    <span class="chamber-now">
      <svg aria-hidden="true">
        <Patterns prefix={prefix} marks={[mark]} />
        <rect width="100%" height="100%" fill={`url(#${patternId(prefix, mark)})`} />
      </svg>
      <span class="letter">{mark.letter}</span>
    </span>
  );
}

const TOP = 0;
const BOTTOM = 62;

interface Filled {
  readonly one: Holding;
  readonly mark: Mark;
}

/** A tapering canal from orifice to working length, filled to scale with what is at each depth. */
function Shape({
  canal,
  filled,
}: {
  readonly canal: Canal;
  readonly filled: readonly Filled[];
}): JSX.Element {
  const prefix = `now${useId()}`.replace(/[^a-z0-9-]/gi, "-");
  const at = scaleOf(canal, filled);
  return (
    <svg viewBox="0 0 40 64" aria-hidden="true">
      <Patterns prefix={prefix} marks={filled.map((each) => each.mark)} />
      {filled.map(({ one, mark }) => (
        <path
          key={mark.key}
          d={piece(at(one.from_um), at(one.to_um))}
          fill={`url(#${patternId(prefix, mark)})`}
        />
      ))}
      <path d={piece(TOP, BOTTOM)} class="outline" />
    </svg>
  );
}

/** Depth to the picture's height: orifice above, working length or the deepest known below. */
function scaleOf(canal: Canal, filled: readonly Filled[]): (um: number | null) => number {
  const top = Math.min(canal.orifice_um ?? 0, ...filled.map(({ one }) => one.from_um));
  const known = filled.flatMap(({ one }) => (one.to_um === null ? [] : [one.to_um]));
  const deepest = Math.max(canal.working_length_um ?? 0, ...known);
  const bottom = deepest > top ? deepest : top + 1;
  return (um) => TOP + (BOTTOM - TOP) * Math.min(1, ((um ?? bottom) - top) / (bottom - top));
}

function piece(from: number, to: number): string {
  const half = (y: number): number => 15 - ((y - TOP) / (BOTTOM - TOP)) * 9;
  return `M${20 - half(from)} ${from}H${20 + half(from)}L${20 + half(to)} ${to}H${20 - half(to)}Z`;
}

function stateText(state: string | null): string {
  if (state === "filled") return words.filled;
  return state === "left" ? words.left : words.empty_canal;
}

/** The running timer of a canal that comes due first. */
function timerOf(record: VisitRecord, canal: string): Timer | null {
  const running = record.timers.filter((one) => one.canal === canal && one.state === "running");
  return running.toSorted((one, other) => one.due_at_ms - other.due_at_ms)[0] ?? null;
}
