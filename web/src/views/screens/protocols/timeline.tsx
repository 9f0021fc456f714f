/**
 * A tooth through a protocol, drawn from first act to last: down the page is time, beside each act stands what
 * chamber and canal hold after it.
 */

import type { JSX } from "preact";
import { useId } from "preact/hooks";
import type { Catalogue, Component, Stage, Step } from "../../../core/types.ts";
import { words as chair } from "../../../strings/chair";
import { words } from "../../../strings/protocols";
import { depthText, sizeText, spanText, taperText, volumeText } from "../../canal/amounts";
import { type Mark, markOf } from "../../canal/marks";
import { Patterns, patternId } from "../../canal/patterns";
import type { ActRow, Neighbours, StageRows } from "./sequence";

const REM_PER_MIN = 1.5;
const MOST_REM = 12;

export interface TimelineProps {
  readonly stages: readonly StageRows[];
  readonly catalogue: Catalogue;
  readonly visits: number;
}

export function Timeline({ stages, catalogue, visits }: TimelineProps): JSX.Element {
  const prefix = `line${useId()}`.replace(/[^a-z0-9-]/gi, "-");
  const marks = stages.flatMap(({ rows }) =>
    rows.flatMap((row) =>
      [row.canalAfter, row.chamberAfter].flatMap((held) =>
        held === null ? [] : [markFor(held, catalogue)],
      ),
    ),
  );
  return (
    <div class="timeline">
      <svg class="unseen" aria-hidden="true">
        <Patterns prefix={prefix} marks={marks} />
      </svg>
      <div class="timeline-head small soft" aria-hidden="true">
        <span>{words.columns.chamber}</span>
        <span>{words.columns.canal}</span>
      </div>
      {stages.map((one, at) => (
        <StageBlock
          key={one.stage.stage}
          {...one}
          prefix={prefix}
          catalogue={catalogue}
          opens={visits > 1 && one.stage.visit !== stages[at - 1]?.stage.visit}
        />
      ))}
    </div>
  );
}

interface StageBlockProps extends StageRows {
  readonly prefix: string;
  readonly catalogue: Catalogue;
  /** Whether another appointment begins with this stage. */
  readonly opens: boolean;
}

function StageBlock({
  stage,
  rows,
  before,
  prefix,
  catalogue,
  opens,
}: StageBlockProps): JSX.Element {
  return (
    <>
      {opens ? <h3 class="appointment">{words.visit(stage.visit)}</h3> : null}
      <section class={stage.repeats === "once" ? "stage" : "stage is-repeated"}>
        <div class="act is-title">
          <Held held={before.chamber} prefix={prefix} catalogue={catalogue} narrow />
          <Held held={before.canal} prefix={prefix} catalogue={catalogue} plain />
          <h3 class="act-words">
            {stage.title}
            <span class="soft small">{stageText(stage)}</span>
          </h3>
        </div>
        <ol>
          {rows.map((row, at) => (
            <li key={row.step.step} class="act" style={{ minHeight: heightOf(row.step) }}>
              <Held held={row.chamberAfter} prefix={prefix} catalogue={catalogue} narrow />
              <Held
                held={row.canalAfter}
                prefix={prefix}
                catalogue={catalogue}
                plain={row.canalAfter === (rows[at - 1]?.canalAfter ?? before.canal)}
              />
              <div class="act-words">
                <strong>{actText(row, catalogue)}</strong>
                <span class="small soft">{detailText(row.step)}</span>
                {row.meets.map((one) => (
                  <Meets key={`${one.first} ${one.second}`} meets={one} catalogue={catalogue} />
                ))}
              </div>
            </li>
          ))}
        </ol>
      </section>
    </>
  );
}

interface HeldProps {
  readonly held: readonly Component[] | null;
  readonly prefix: string;
  readonly catalogue: Catalogue;
  readonly narrow?: boolean;
  /** Without its letter. */
  readonly plain?: boolean;
}

function Held({ held, prefix, catalogue, narrow = false, plain = false }: HeldProps): JSX.Element {
  const shape = narrow ? "held is-chamber" : "held";
  if (held === null) return <span class={`${shape} is-empty`} title={words.holds_none} />;
  const mark = markFor(held, catalogue);
  return (
    <span class={shape} title={mark.long}>
      <svg aria-hidden="true">
        <rect width="100%" height="100%" fill={`url(#${patternId(prefix, mark)})`} />
      </svg>
      {narrow || plain ? null : <span class="letter">{mark.letter}</span>}
    </span>
  );
}

function Meets({
  meets,
  catalogue,
}: {
  readonly meets: Neighbours;
  readonly catalogue: Catalogue;
}): JSX.Element {
  const title = (irrigant: string): string =>
    catalogue.irrigants.find((one) => one.irrigant === irrigant)?.title ?? irrigant;
  return (
    <span class={`meets small ${meets.level}`}>
      {words.before(title(meets.first))}: {words.levels[meets.level]}
    </span>
  );
}

function actText({ step, contents }: ActRow, catalogue: Catalogue): string {
  if (contents !== null)
    return `${sentence(words.acts[step.act])}: ${markFor(contents, catalogue).long}`;
  const parts: string[] = [words.acts[step.act]];
  if (step.check !== null) parts.push(chair.check.what[step.check]);
  if (step.activation !== null) parts.push(chair.activate.kinds[step.activation]);
  if (step.material !== null) parts.push(step.material.replaceAll("_", " "));
  if (step.by !== null) parts.push(words.by[step.by]);
  if (step.motion !== null) parts.push(chair.file.motions[step.motion]);
  return sentence(parts.join(", "));
}

function detailText(step: Step): string {
  const parts = [
    step.volume_ul === null ? null : volumeText(step.volume_ul),
    step.contact_ms === null ? null : words.least(spanText(step.contact_ms)),
    step.contact_limit_ms === null ? null : words.most(spanText(step.contact_limit_ms)),
    step.duration_ms === null ? null : words.lasting(spanText(step.duration_ms)),
    step.site === "chamber" ? words.in_chamber : null,
    step.on_file ? words.on_file : null,
    step.size === null ? null : words.size(sizeText(step.size)),
    step.taper_um_per_mm === null ? null : taperText(step.taper_um_per_mm),
    step.tip_short_of_wl_um === null ? null : words.tip_short(depthText(step.tip_short_of_wl_um)),
    step.text,
  ];
  return parts.filter((part) => part !== null).join(", ");
}

function stageText(stage: Stage): string {
  const parts: string[] = [];
  if (stage.part !== "whole") parts.push(words.parts[stage.part]);
  if (stage.repeats === "per_instrument") parts.push(words.repeats.per_instrument);
  if (stage.repeats === "cycles") parts.push(words.repeats.cycles(stage.cycles));
  return parts.join(", ");
}

/** The longer the least contact or the duration, the longer the bar. */
function heightOf(step: Step): string {
  const minutes = Math.max(step.contact_ms ?? 0, step.duration_ms ?? 0) / 60_000;
  return `${2.75 + Math.min(MOST_REM, minutes * REM_PER_MIN)}rem`;
}

function markFor(contents: readonly Component[], catalogue: Catalogue): Mark {
  return markOf(contents, catalogue.irrigants);
}

function sentence(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
