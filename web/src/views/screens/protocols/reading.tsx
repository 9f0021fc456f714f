/** One protocol to read: purpose, source, cautions, solutions, timeline, asks, limits, pairs. */

import type { ComponentChildren, JSX } from "preact";
import type { Ask, Catalogue, Pair, Protocol, Source } from "../../../core/types.ts";
import { to } from "../../../store/route";
import { words } from "../../../strings/protocols";
import { spanText, volumeText } from "../../canal/amounts";
import { Band } from "../../parts/bands";
import { SyringeChip } from "../../parts/mark";
import { pairsThatMatter, sequenceOf } from "./sequence";
import { Timeline } from "./timeline";

export interface ReadingProps {
  readonly kit: string;
  readonly protocol: Protocol;
  readonly catalogue: Catalogue;
}

export function Reading({ kit, protocol, catalogue }: ReadingProps): JSX.Element {
  const title = (irrigant: string): string => titleOf(irrigant, catalogue);
  return (
    <article class="protocol-reading">
      <header>
        <h1>{protocol.title}</h1>
        <p>{protocol.purpose}</p>
        <p class="small soft">{caseText(protocol)}</p>
        <a class="press main" href={to.open({ protocol: kit })}>
          {words.open_with}
        </a>
      </header>
      {protocol.cautions.length === 0 ? null : (
        <Band level="caution" word={words.cautions}>
          <ul>
            {protocol.cautions.map((line) => (
              <li key={line}>{line}</li>
            ))}
          </ul>
        </Band>
      )}
      <Part title={words.solutions}>
        <ul class="solutions">
          {protocol.solutions.map((one) => (
            <li key={one.solution}>
              <SyringeChip contents={one.contents} catalogue={catalogue.irrigants} />
            </li>
          ))}
        </ul>
      </Part>
      <Part title={words.timeline} help={words.timeline_help}>
        <Timeline
          stages={sequenceOf(protocol, catalogue)}
          catalogue={catalogue}
          visits={protocol.case.visits}
        />
      </Part>
      <Part title={words.asks} help={protocol.asks.length === 0 ? words.no_asks : words.asks_help}>
        <Asks asks={protocol.asks} title={title} />
        {protocol.limits.length === 0 ? null : (
          <>
            <h3>{words.limits}</h3>
            <ul>
              {protocol.limits.map((one) => (
                <li key={one.irrigant}>
                  {words.limit(title(one.irrigant), spanText(one.longest_run_ms))}
                </li>
              ))}
            </ul>
          </>
        )}
      </Part>
      <Pairs pairs={pairsThatMatter(protocol, catalogue)} title={title} />
      <Part title={words.source}>
        <p>{sourceText(protocol.source)}</p>
        <p class="small soft">
          {words.version(protocol.version)}. {words.kit} <code>{kit.slice(0, 16)}…</code>
        </p>
      </Part>
    </article>
  );
}

function Part(props: {
  readonly title: string;
  readonly help?: string;
  readonly children: ComponentChildren;
}): JSX.Element {
  return (
    <section class="part">
      <h2>{props.title}</h2>
      {props.help === undefined ? null : <p class="small soft">{props.help}</p>}
      {props.children}
    </section>
  );
}

const MEASURES = ["contact_ms", "last_3mm_ms", "fresh_ms", "activated_ms", "volume_ul"] as const;

function Asks(props: {
  readonly asks: readonly Ask[];
  readonly title: (irrigant: string) => string;
}): JSX.Element | null {
  if (props.asks.length === 0) return null;
  const asked = MEASURES.filter((measure) => props.asks.some((ask) => ask[measure] !== null));
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reached by the keyboard
    <section class="scroll" aria-label={words.asks} tabIndex={0}>
      <table>
        <thead>
          <tr>
            <td />
            {asked.map((measure) => (
              <th scope="col" key={measure}>
                {words.measures[measure]}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {props.asks.map((ask) => (
            <tr key={`${ask.irrigant} ${ask.visit}`}>
              <th scope="row">
                {props.title(ask.irrigant)}
                {ask.visit ? `, ${words.visit(ask.visit)}` : null}
              </th>
              {asked.map((measure) => (
                <td key={measure}>{amountText(ask, measure)}</td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

function amountText(ask: Ask, measure: (typeof MEASURES)[number]): string {
  if (measure === "volume_ul") return ask.volume_ul === null ? "" : volumeText(ask.volume_ul);
  const span = ask[measure];
  return span === null ? "" : spanText(span);
}

function Pairs(props: {
  readonly pairs: readonly Pair[];
  readonly title: (irrigant: string) => string;
}): JSX.Element {
  const { pairs, title } = props;
  return (
    <Part title={words.pairs} help={pairs.length === 0 ? words.no_pairs : words.pairs_help}>
      <ul class="pairs">
        {pairs.map((pair) => (
          <li key={`${pair.first} ${pair.second}`} class={`pair ${pair.level}`}>
            <strong>{words.pair(title(pair.first), title(pair.second))}</strong>
            <span>{askedText(pair)}</span>
            <span class="small soft">
              {pair.source ?? words.no_source} · {words.basis[pair.basis]}
            </span>
          </li>
        ))}
      </ul>
    </Part>
  );
}

function askedText(pair: Pair): string {
  const parts = [words.levels[pair.level]];
  if (pair.rinse_ul > 0) parts.push(words.rinse_asked(volumeText(pair.rinse_ul)));
  if (pair.removals > 0) parts.push(words.removals_asked(pair.removals));
  if (pair.shaping_level !== null) parts.push(words.shaping(words.levels[pair.shaping_level]));
  return parts.join(", ");
}

function caseText({ case: written }: Protocol): string {
  const parts: string[] = [words.case[written.apex], words.case.visits(written.visits)];
  if (written.pressure === "none") parts.push(words.case.no_pressure);
  return parts.join(", ");
}

function sourceText(source: Source): string {
  if (source.cite !== null) return source.cite;
  return source.kind === "common_practice" ? words.common_practice : words.no_source;
}

function titleOf(irrigant: string, catalogue: Catalogue): string {
  return catalogue.irrigants.find((one) => one.irrigant === irrigant)?.title ?? irrigant;
}
