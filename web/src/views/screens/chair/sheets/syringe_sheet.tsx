/** A syringe is set out, read, emptied or thrown away. */

import type { JSX } from "preact";
import { useState } from "preact/hooks";
import { ul } from "../../../../core/quantities.ts";
import type { Kit, Mix, SyringePrepared } from "../../../../core/types.ts";
import { type Draft, newId } from "../../../../store/commands";
import { words } from "../../../../strings/chair";
import { words as opening } from "../../../../strings/open_visit";
import { volumeText } from "../../../canal/amounts";
import { contentsKey, type Entry, markOf } from "../../../canal/marks";
import { ContentsEditor } from "../../../parts/contents_editor";
import { IrrigantCautions } from "../../../parts/irrigant_cautions";
import { MarkTile } from "../../../parts/mark";
import { Sheet } from "../../../parts/sheet";
import { Stepper } from "../../../parts/stepper";
import { contentsOf, type PartDraft, strengthProblems } from "../../../parts/typed_contents";
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
  const [chosen, setChosen] = useState(contentsKey(offers[0] ?? []));
  const [typed, setTyped] = useState<readonly PartDraft[] | null>(null);
  const [volumeUl, setVolume] = useState<number | null>(5000);
  const [gauge, setGauge] = useState<number | null>(30);
  const [tip, setTip] = useState<NonNullable<SyringePrepared["needle_tip"]> | "">("side_vented");
  const [lot, setLot] = useState("");
  const contents =
    typed === null ? offers.find((offer) => contentsKey(offer) === chosen) : contentsOf(typed);
  const catalogue = props.kit?.catalogue.irrigants ?? [];
  const unready = contents === undefined || (typed ?? []).flatMap(strengthProblems).length > 0;
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
          <div class="cc-options">
            {offers.map((offer) => (
              <Press
                repeats
                key={contentsKey(offer)}
                class="cc-option cc-offer"
                pressed={typed === null && contentsKey(offer) === chosen}
                onPress={() => {
                  setChosen(contentsKey(offer));
                  setTyped(null);
                }}
              >
                <MarkTile contents={offer} catalogue={props.entries} />
                <span>{markOf(offer, props.entries).long}</span>
              </Press>
            ))}
            {catalogue.length > 0 && (
              <Press
                repeats
                class="cc-option"
                pressed={typed !== null}
                onPress={() => setTyped(typed ?? [{ irrigant: "unknown", strength: "" }])}
              >
                {own.others}
              </Press>
            )}
          </div>
        </fieldset>
        {typed !== null && (
          <ContentsEditor parts={typed} catalogue={catalogue} onChange={setTyped} />
        )}
        <IrrigantCautions
          used={(contents ?? []).map((part) => part.irrigant)}
          catalogue={catalogue.filter((entry) => entry.kind === "hypochlorite")}
        />
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
          options={[...named(opening.syringes.tips), ["", own.unknown_tip]]}
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
        <Press class="press main wide" disabled={unready} onPress={save}>
          {own.save}
        </Press>
      </div>
    </Sheet>
  );
}

/** What can be set out with one tap: what was set out before, what the protocol asks, the unknown. */
function offersOf(kit: Kit | null, before: readonly Mix[]): readonly Mix[] {
  const asked = kit?.protocol?.solutions.map((solution) => solution.contents) ?? [];
  const unknown: Mix = [{ irrigant: "unknown", concentration_mg_per_l: null }];
  const mixes = [...before, ...asked, unknown];
  return [...new Map(mixes.map((mix) => [contentsKey(mix), mix])).values()];
}

interface SyringeSheetProps {
  readonly kit: Kit | null;
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
        <IrrigantCautions
          used={syringe.contents.map((part) => part.irrigant)}
          catalogue={props.kit?.catalogue.irrigants ?? []}
        />
      </div>
    </Sheet>
  );
}
