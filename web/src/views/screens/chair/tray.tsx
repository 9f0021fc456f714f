/**
 * The tray under the canals: the rack of syringes, or another tool with its few choices.
 *
 * Tap 1 takes something from the tray, tap 2 is a canal.
 */

import type { JSX } from "preact";
import type { Mix } from "../../../core/types.ts";
import { words } from "../../../strings/chair";
import { sizeText, taperText, volumeText } from "../../canal/amounts";
import { contentsKey, type Entry, markOf } from "../../canal/marks";
import { MarkTile } from "../../parts/mark";
import { Stepper } from "../../parts/stepper";
import type { Chair, Tool } from "./chair_state";
import { Choice } from "./choice";
import { pick } from "./giving";
import { HandRow } from "./hand_row";
import { Press } from "./press";
import type { Syringe } from "./rack";

const SIZES = [6, 8, 10, 15, 20, 25, 30, 35, 40, 45, 50, 55, 60, 70, 80] as const;
const TAPERS_UM_PER_MM = [20, 40, 60, 80] as const;

interface TrayProps {
  readonly chair: Chair;
  readonly entries: readonly Entry[];
  readonly onFailure: (failure: unknown) => void;
}

export function Tray(props: TrayProps): JSX.Element {
  const { chair } = props;
  const tool = chair.tool.value;
  return (
    <section class="cc-tray" aria-label={words.rack.title}>
      <Tabs chair={chair} />
      <div class="cc-tray-body">
        {tool.tool === "syringes" ? <Rack {...props} /> : <ToolChoices chair={chair} tool={tool} />}
      </div>
    </section>
  );
}

const FIRST: readonly (readonly [string, Tool])[] = [
  [words.rack.title, { tool: "syringes" }],
  [
    words.tools.files,
    { tool: "file", size: 25, taperUmPerMm: 60, motion: "rotary", shortUm: 0, onFile: null },
  ],
  [words.tools.recapitulate, { tool: "recapitulate", size: 10 }],
  [words.tools.remove, { tool: "remove", by: "points", dry: null }],
  [words.tools.activate, { tool: "activate", kind: "ultrasonic" }],
  [words.tools.checks, { tool: "check", what: "patency", result: null }],
];

function Tabs(props: { readonly chair: Chair }): JSX.Element {
  const { chair } = props;
  return (
    <div class="cc-tab-row">
      <div class="cc-tabs">
        {chair.hand.value !== null && <HandRow chair={chair} />}
        {FIRST.map(([text, tool]) => (
          <Press
            key={tool.tool}
            repeats
            class="cc-tab"
            pressed={chair.tool.value.tool === tool.tool}
            testid={`tool-${tool.tool}`}
            onPress={() => {
              chair.tool.value = tool;
            }}
          >
            {text}
          </Press>
        ))}
      </div>
      <Press
        repeats
        class="cc-tab cc-tab-more"
        testid="more"
        onPress={() => {
          chair.sheet.value = { sheet: "more" };
        }}
      >
        {words.menu}
      </Press>
    </div>
  );
}

function Rack(props: TrayProps): JSX.Element {
  const { chair, entries, onFailure } = props;
  const hand = chair.hand.value;
  const rack = chair.rack.value;
  return (
    <>
      <div class="cc-rack">
        {rack.map((syringe) => {
          const mark = markOf(syringe.contents, entries);
          const inHand = hand?.syringe.syringe === syringe.syringe;
          return (
            <Press
              key={syringe.syringe}
              class="cc-syringe"
              pressed={inHand}
              label={`${words.rack.pick(mark.long)}, ${leftText(syringe)}`}
              testid={`syringe-${mark.letter}`}
              onPress={() => void pick(chair, syringe).catch(onFailure)}
            >
              <MarkTile contents={syringe.contents} catalogue={entries} />
              <span class="cc-syringe-text">
                <b>{mark.short}</b>
                <small>{leftText(syringe)}</small>
              </span>
            </Press>
          );
        })}
        <Press
          class="cc-syringe cc-syringe-add"
          label={words.rack.add}
          onPress={() => {
            chair.sheet.value = { sheet: "new_syringe" };
          }}
        >
          +
        </Press>
      </div>
      {rack.length === 0 && <p class="cc-empty">{words.rack.empty}</p>}
    </>
  );
}

export function leftText(syringe: Syringe): string {
  if (syringe.leftUl === null) return words.rack.left_unknown;
  const text = volumeText(syringe.leftUl);
  return syringe.about ? words.rack.left_about(text) : words.rack.left(text);
}

function ToolChoices(props: { readonly chair: Chair; readonly tool: Tool }): JSX.Element | null {
  const { chair, tool } = props;
  const set = (changed: Tool): void => {
    chair.tool.value = changed;
  };
  const named = <Key extends string>(texts: { readonly [K in Key]: string }) =>
    Object.entries(texts) as [Key, string][];
  switch (tool.tool) {
    case "file":
      return (
        <>
          <Choice
            row
            what={words.file.size}
            value={tool.size}
            options={SIZES.map((size) => [size, sizeText(size)])}
            onChoose={(size) => set({ ...tool, size })}
          />
          <Choice
            row
            what={words.file.taper}
            value={tool.taperUmPerMm}
            options={TAPERS_UM_PER_MM.map((taper) => [taper, taperText(taper)])}
            onChoose={(taperUmPerMm) => set({ ...tool, taperUmPerMm })}
          />
          <Coatings
            chair={chair}
            chosen={tool.onFile}
            onChoose={(onFile) => set({ ...tool, onFile })}
          />
          <Choice
            row
            what={words.file.motion}
            value={tool.motion}
            options={named(words.file.motions)}
            onChoose={(motion) => set({ ...tool, motion })}
          />
          <Stepper
            label={words.canal_sheet.joins_at}
            value={tool.shortUm}
            text={(um) => `${um / 1000}\u00a0mm`}
            step={500}
            least={0}
            most={20_000}
            start={0}
            onChange={(shortUm) => set({ ...tool, shortUm: shortUm ?? 0 })}
          />
        </>
      );
    case "recapitulate":
      return (
        <Choice
          row
          what={words.file.size}
          value={tool.size}
          options={SIZES.slice(0, 6).map((size) => [size, sizeText(size)])}
          onChoose={(size) => set({ ...tool, size })}
        />
      );
    case "remove":
      return (
        <>
          <Choice
            row
            what={words.remove.title}
            value={tool.by}
            options={[
              ["points", words.remove.points],
              ["aspiration", words.remove.aspirate],
            ]}
            onChoose={(by) => set({ ...tool, by })}
          />
          {tool.by === "points" && (
            <Choice
              row
              what={words.remove.dryness}
              value={tool.dry}
              options={named(words.remove.dry)}
              onChoose={(dry) => set({ ...tool, dry })}
            />
          )}
        </>
      );
    case "activate":
      return (
        <Choice
          row
          what={words.activate.title}
          value={tool.kind}
          options={named(words.activate.kinds)}
          onChoose={(kind) => set({ ...tool, kind })}
        />
      );
    case "check":
      return (
        <>
          <Choice
            row
            what={words.check.title}
            value={tool.what}
            options={named(words.check.what)}
            onChoose={(what) => set({ ...tool, what, result: null })}
          />
          <Choice
            row
            what=""
            value={tool.result}
            options={words.check.results[tool.what].map((result) => [result, result])}
            onChoose={(result) => set({ ...tool, result })}
          />
        </>
      );
    default:
      return null;
  }
}

/** What can go into a canal on a file: the protocol's gels with their strength, else the catalogue's. */
function Coatings(props: {
  readonly chair: Chair;
  readonly chosen: Mix | null;
  readonly onChoose: (contents: Mix | null) => void;
}): JSX.Element {
  const kit = props.chair.kit.value;
  const viscous = (kit?.catalogue.irrigants ?? []).filter((entry) => entry.viscous);
  const asked = (kit?.protocol?.solutions ?? [])
    .map((solution) => solution.contents)
    .filter((contents) => viscous.some((entry) => entry.irrigant === contents[0]?.irrigant));
  const others = viscous
    .filter((entry) => !asked.some((contents) => contents[0]?.irrigant === entry.irrigant))
    .map((entry): Mix => [{ irrigant: entry.irrigant, concentration_mg_per_l: null }]);
  const offers = [...asked, ...others];
  const entries = kit?.catalogue.irrigants ?? [];
  return (
    <Choice
      row
      what={words.file.on_file}
      value={props.chosen === null ? "" : contentsKey(props.chosen)}
      options={[
        ["", words.file.nothing_on_file],
        ...offers.map((mix): [string, string] => [contentsKey(mix), markOf(mix, entries).long]),
      ]}
      onChoose={(key) => props.onChoose(offers.find((mix) => contentsKey(mix) === key) ?? null)}
    />
  );
}
