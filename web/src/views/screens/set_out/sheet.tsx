/** The sheet itself: asked of the server whenever what it rests on changes. */

import "./set_out.css";
import type { JSX } from "preact";
import { useEffect, useState } from "preact/hooks";
import type { IrrigantEntry } from "../../../core/types.ts";
import { connected, NotConnected, server } from "../../../store/server";
import { words } from "../../../strings/set_out";
import { canalText, spanText, strengthText, volumeText } from "../../canal/amounts";
import { Band } from "../../parts/bands";
import { SyringeChip } from "../../parts/mark";
import { Needles, needleText } from "./needles";
import type { SeparationOut, SetOut, SetOutAsked } from "./shapes";

export interface SheetProps {
  readonly asked: SetOutAsked;
  readonly catalogue: readonly IrrigantEntry[];
}

type Answer =
  | { readonly at: "working" }
  | { readonly at: "here"; readonly sheet: SetOut }
  | { readonly at: "failed"; readonly why: string };

export function SetOutSheet({ asked, catalogue }: SheetProps): JSX.Element {
  const [answer, setAnswer] = useState<Answer>({ at: "working" });
  const [again, setAgain] = useState(0);
  const question = JSON.stringify(asked);
  const online = connected.value;
  useEffect(() => {
    let current = true;
    ask(question).then((heard) => {
      if (current) setAnswer(heard);
    });
    return () => {
      current = false;
    };
  }, [question, online, again]);
  if (answer.at === "working") return <p role="status">{words.working}</p>;
  if (answer.at === "failed")
    return (
      <Band level="note" word={answer.why}>
        <button type="button" class="press" onClick={() => setAgain(again + 1)}>
          {words.again}
        </button>
      </Band>
    );
  const { sheet } = answer;
  return (
    <div class="set-out">
      <DrawUp sheet={sheet} catalogue={catalogue} />
      <Needles canals={sheet.canals} />
      <Between separations={sheet.separations} catalogue={catalogue} />
      <Time sheet={sheet} />
      <Sources sheet={sheet} />
    </div>
  );
}

async function ask(question: string): Promise<Answer> {
  try {
    return { at: "here", sheet: await server().post<SetOut>("/set-out", question) };
  } catch (why) {
    if (why instanceof NotConnected) return { at: "failed", why: words.not_connected };
    return { at: "failed", why: why instanceof Error ? why.message : String(why) };
  }
}

function DrawUp({ sheet, catalogue }: { readonly sheet: SetOut } & Omit<SheetProps, "asked">) {
  const own = words.draw_up;
  return (
    <section aria-labelledby="set-out-draw">
      <h2 id="set-out-draw">{own.title}</h2>
      <table class="set-out-table">
        <thead>
          <tr>
            <th scope="col">{own.solution}</th>
            <th scope="col">{own.amount}</th>
            <th scope="col">{own.syringes}</th>
          </tr>
        </thead>
        <tbody>
          {sheet.solutions.map((one) => (
            <tr key={one.solution}>
              <th scope="row">
                <SyringeChip contents={one.contents} catalogue={catalogue} />
              </th>
              <td>{one.volume_ul === 0 ? own.no_amount : volumeText(one.volume_ul)}</td>
              <td>{one.syringes}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <p class="small soft">
        {own.filling(volumeText(sheet.syringe_ul), String(sheet.instruments))}
      </p>
    </section>
  );
}

function Between(props: {
  readonly separations: readonly SeparationOut[];
  readonly catalogue: readonly IrrigantEntry[];
}): JSX.Element | null {
  const { separations, catalogue } = props;
  const own = words.between;
  if (separations.length === 0) return null;
  const title = (irrigant: string): string =>
    catalogue.find((one) => one.irrigant === irrigant)?.title ?? irrigant;
  return (
    <section aria-labelledby="set-out-between">
      <h2 id="set-out-between">{own.title}</h2>
      <dl class="set-out-pairs">
        {separations.map(({ pair, canals, drying_cycles }) => (
          <div key={`${pair.first} ${pair.second}`}>
            <dt>
              {own.pair(title(pair.first), title(pair.second))}:{" "}
              <span class="soft">{own.levels[pair.level]}</span>
            </dt>
            <dd>
              {own.asked}: {acts(pair.rinse_ul, pair.removals)}
            </dd>
            <dd>
              {own.planned}:{" "}
              {acts(pair.planned_rinse_ul, pair.removals > 0 ? pair.planned_removals : 0)}
            </dd>
            {canals.map((here) => (
              <dd key={`${here.canal} ${needleText(here)}`} class="small">
                <b>{own.here(canalText(here.canal), needleText(here))}</b>: {here.text}
              </dd>
            ))}
            {drying_cycles === null || pair.first_mg_per_l === null ? null : (
              <dd class="small">
                {own.drying(String(drying_cycles), strengthText(pair.first_mg_per_l))}
              </dd>
            )}
          </div>
        ))}
      </dl>
    </section>
  );
}

function acts(rinseUl: number, removals: number): string {
  const own = words.between;
  const parts = [
    ...(rinseUl > 0 ? [own.rinse(volumeText(rinseUl))] : []),
    ...(removals > 0 ? [own.removals(String(removals))] : []),
  ];
  return parts.length === 0 ? own.nothing : parts.join(own.and_then);
}

function Time({ sheet }: { readonly sheet: SetOut }): JSX.Element {
  const { time } = sheet;
  const own = words.time;
  const least = time.at_least ? `${own.at_least} ` : "";
  const rows = [
    [own.together, `${least}${secondsText(time.least_s)}`],
    [own.alone, `${least}${secondsText(time.most_s)}`],
    [own.delivery(String(time.flow_ml_per_min)), secondsText(time.delivery_s)],
    [own.activation, secondsText(time.activation_s)],
    [own.contact, secondsText(time.contact_s)],
    [own.asked, secondsText(time.asked_contact_s)],
  ] as const;
  return (
    <section aria-labelledby="set-out-time">
      <h2 id="set-out-time">{own.title}</h2>
      <table class="set-out-table">
        <tbody>
          {rows.map(([name, text]) => (
            <tr key={name}>
              <th scope="row">{name}</th>
              <td>{text}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <p class="small soft">{own.without}</p>
    </section>
  );
}

function secondsText(seconds: number): string {
  return spanText(Math.round(seconds) * 1000);
}

function Sources({ sheet }: { readonly sheet: SetOut }): JSX.Element {
  const bases: { readonly [basis: string]: string } = words.sources.bases;
  return (
    <>
      {sheet.cautions.map((caution) => (
        <p key={caution} class="small soft">
          {caution}
        </p>
      ))}
      <details class="small">
        <summary>{words.sources.title}</summary>
        <ul>
          {sheet.sources.map((one) => (
            <li key={one.of}>
              <b>{one.of}</b> ({bases[one.basis] ?? one.basis}): {one.text}
            </li>
          ))}
        </ul>
      </details>
    </>
  );
}
