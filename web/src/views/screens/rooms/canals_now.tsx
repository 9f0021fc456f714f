/** The canals of one visit side by side, small: what is in each, for how long, and what is due. */

import type { JSX } from "preact";
import { useId } from "preact/hooks";
import type { Timer, VisitRecord } from "../../../core/types.ts";
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
      {record.canals.map(({ canal, state }) => (
        <CanalNow
          key={canal}
          canal={canal}
          state={state}
          held={holdingOf(record, canal, now.value)}
          timer={timerOf(record, canal)}
          catalogue={catalogue}
        />
      ))}
      {record.unread.length > 0 ? <span class="small">{words.unread}</span> : null}
    </span>
  );
}

interface CanalNowProps {
  readonly canal: string;
  readonly state: string | null;
  readonly held: readonly Holding[];
  readonly timer: Timer | null;
  readonly catalogue: readonly Entry[];
}

function CanalNow({ canal, state, held, timer, catalogue }: CanalNowProps): JSX.Element {
  const first = held[0];
  const marks = held.map((one) => markOf(one.contents, catalogue));
  const spoken = marks.map((mark) => mark.long).join(", ") || words.dry;
  return (
    <span class="canal-now">
      <Shape marks={marks} />
      <span class="name">{canalText(canal)}</span>
      <span class="unseen">{spoken}</span>
      <span class="holds">
        {marks.length === 0 ? (
          <span class="soft">{stateText(state)}</span>
        ) : (
          `${marks.map((mark) => mark.letter).join(" ")} ${first === undefined ? "" : elapsedText(now.value - first.since_ms)}`
        )}
      </span>
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

/** A tapering canal, filled from the orifice with each of the contents in turn. */
function Shape({ marks }: { readonly marks: readonly Mark[] }): JSX.Element {
  const prefix = `now${useId()}`.replace(/[^a-z0-9-]/gi, "-");
  const share = (BOTTOM - TOP) / Math.max(1, marks.length);
  return (
    <svg viewBox="0 0 40 64" aria-hidden="true">
      <Patterns prefix={prefix} marks={marks} />
      {marks.map((mark, index) => (
        <path
          key={mark.key}
          d={piece(TOP + index * share, TOP + (index + 1) * share)}
          fill={`url(#${patternId(prefix, mark)})`}
        />
      ))}
      <path d={piece(TOP, BOTTOM)} class="outline" />
    </svg>
  );
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
