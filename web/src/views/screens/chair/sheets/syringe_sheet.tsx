/** A syringe is set out, read, emptied or thrown away. */

import type { JSX } from "preact";
import { useState } from "preact/hooks";
import { ul } from "../../../../core/quantities.ts";
import type { Kit, Mix, SyringePrepared } from "../../../../core/types.ts";
import { type Draft, newId } from "../../../../store/commands";
import { words } from "../../../../strings/chair";
import { volumeText } from "../../../canal/amounts";
import { contentsKey, type Entry, markOf } from "../../../canal/marks";
import { MarkTile } from "../../../parts/mark";
import { Sheet } from "../../../parts/sheet";
import { Stepper } from "../../../parts/stepper";
import { Choice } from "../choice";
import { Press } from "../press";
import type { Syringe } from "../rack";
import { Labelled, named } from "./canal_sheet";

const own = words.syringe_sheet;
const GAUGES = [25, 27, 28, 30, 31] as const;

interface NewSyringeProps {
  readonly kit: Kit | null;
  readonly entries: readonly Entry[];
  /** Solutions of syringes set out before in this visit, offered again. */
  readonly before: readonly Mix[];
  readonly onLog: (drafts: readonly Draft[], text: string) => void;
  readonly onClose: () => void;
}

export function NewSyringeSheet(props: NewSyringeProps): JSX.Element {
  const offers = offersOf(props.kit, props.before);
  const firstOffer = offers.first[0];
  const [chosen, setChosen] = useState(firstOffer === undefined ? "" : contentsKey(firstOffer));
  const [volumeUl, setVolume] = useState<number | null>(5000);
  const [gauge, setGauge] = useState<number | null>(30);
  const [tip, setTip] = useState<NonNullable<SyringePrepared["needle_tip"]> | "">("side_vented");
  const [lot, setLot] = useState("");
  const offered = { entries: props.entries, chosen, onChoose: setChosen };
  const contents = [...offers.first, ...offers.others].find(
    (offer) => contentsKey(offer) === chosen,
  );
  const save = (): void => {
    if (contents === undefined) return;
    const draft: Draft = {
      kind: "syringe_prepared",
      syringe: newId(),
      contents,
      volume_ul: volumeUl === null ? null : ul(volumeUl),
      needle_gauge: gauge,
      needle_tip: tip === "" ? null : tip,
      lot: lot.trim() === "" ? null : lot.trim(),
    };
    props.onLog([draft], `${own.title} ${markOf(contents, props.entries).short}`);
    props.onClose();
  };
  return (
    <Sheet title={own.new} onClose={props.onClose}>
      <div class="cc-form">
        <fieldset class="cc-choice">
          <legend>{own.contents}</legend>
          <Offers {...offered} offers={offers.first} />
        </fieldset>
        <details>
          <summary class="cc-small">{own.others}</summary>
          <Offers {...offered} offers={offers.others} />
        </details>
        <Labelled text={own.volume}>
          <Stepper
            label={own.volume}
            value={volumeUl}
            step={500}
            least={500}
            most={60_000}
            start={5000}
            text={volumeText}
            mayBeUnknown
            onChange={setVolume}
          />
        </Labelled>
        <Choice
          row
          what={own.needle}
          value={gauge}
          options={GAUGES.map((one): [number, string] => [one, own.gauge(one)])}
          onChoose={setGauge}
        />
        <Choice
          row
          what={own.tip}
          value={tip}
          options={[...named(own.tips), ["", own.unknown_tip]]}
          onChoose={setTip}
        />
        <label class="field">
          <span>{own.lot}</span>
          <input
            class="entry"
            maxLength={120}
            value={lot}
            onInput={(event) => setLot(event.currentTarget.value)}
          />
        </label>
        <p class="small soft">{own.label}</p>
        <Press class="press main wide" disabled={contents === undefined} onPress={save}>
          {own.save}
        </Press>
      </div>
    </Sheet>
  );
}

function Offers(props: {
  readonly offers: readonly Mix[];
  readonly entries: readonly Entry[];
  readonly chosen: string;
  readonly onChoose: (key: string) => void;
}): JSX.Element {
  return (
    <div class="cc-options">
      {props.offers.map((offer) => (
        <Press
          repeats
          key={contentsKey(offer)}
          class="cc-option cc-offer"
          pressed={contentsKey(offer) === props.chosen}
          onPress={() => props.onChoose(contentsKey(offer))}
        >
          <MarkTile contents={offer} catalogue={props.entries} />
          <span>{markOf(offer, props.entries).long}</span>
        </Press>
      ))}
    </div>
  );
}

/** What can be set out: first those of this visit and of the protocol, and the unknown; then the rest. */
function offersOf(
  kit: Kit | null,
  before: readonly Mix[],
): { readonly first: readonly Mix[]; readonly others: readonly Mix[] } {
  const asked = kit?.protocol?.solutions.map((solution) => solution.contents) ?? [];
  const irrigants = kit?.catalogue.irrigants ?? [];
  const usual: Mix[] = irrigants
    .filter((entry) => entry.kind !== "dressing" && entry.kind !== "anaesthetic")
    .filter((entry) => entry.usual_low_mg_per_l === entry.usual_high_mg_per_l)
    .map((entry) => [
      { irrigant: entry.irrigant, concentration_mg_per_l: entry.usual_high_mg_per_l },
    ]);
  const ranged: Mix[] = irrigants
    .filter((entry) => entry.kind === "hypochlorite" || entry.kind === "antiseptic")
    .flatMap((entry) =>
      [entry.usual_low_mg_per_l, entry.usual_high_mg_per_l]
        .filter((strength) => strength !== null)
        .map((strength): Mix => [{ irrigant: entry.irrigant, concentration_mg_per_l: strength }]),
    );
  const unknown: Mix = [{ irrigant: "unknown", concentration_mg_per_l: null }];
  const once = (mixes: readonly Mix[]): Mix[] => [
    ...new Map(mixes.map((mix) => [contentsKey(mix), mix])).values(),
  ];
  const first = once([...before, ...asked, unknown]);
  const named = new Set(first.map(contentsKey));
  return {
    first,
    others: once([...usual, ...ranged]).filter((mix) => !named.has(contentsKey(mix))),
  };
}

interface SyringeSheetProps {
  readonly syringe: Syringe;
  readonly entries: readonly Entry[];
  readonly onLog: NewSyringeProps["onLog"];
  readonly onClose: () => void;
}

export function SyringeSheet(props: SyringeSheetProps): JSX.Element {
  const { syringe, entries, onLog, onClose } = props;
  const [leftUl, setLeft] = useState<number | null>(syringe.leftUl);
  const short = markOf(syringe.contents, entries).short;
  const read = (
    payload: { left_ul?: number; emptied?: boolean; discarded?: boolean },
    text: string,
  ): void => {
    onLog(
      [
        {
          kind: "syringe_read",
          syringe: syringe.syringe,
          left_ul: payload.left_ul === undefined ? null : ul(payload.left_ul),
          emptied: payload.emptied ?? false,
          discarded: payload.discarded ?? false,
        },
      ],
      `${short}: ${text}`,
    );
    onClose();
  };
  return (
    <Sheet title={`${own.title} ${short}`} onClose={onClose}>
      <div class="cc-form">
        <Labelled text={own.left_now}>
          <Stepper
            label={own.left_now}
            value={leftUl}
            step={250}
            least={0}
            most={60_000}
            start={2500}
            text={volumeText}
            onChange={setLeft}
          />
        </Labelled>
        <Press
          class="press main wide"
          disabled={leftUl === null}
          onPress={() => leftUl !== null && read({ left_ul: leftUl }, volumeText(leftUl))}
        >
          {own.read}
        </Press>
        <Press class="press wide" onPress={() => read({ emptied: true }, own.emptied)}>
          {own.emptied}
        </Press>
        <Press class="press wide" onPress={() => read({ discarded: true }, own.discard)}>
          {own.discard}
        </Press>
      </div>
    </Sheet>
  );
}
