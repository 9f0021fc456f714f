/** What is known of a canal, set by steps; and a canal that was found. */

import type { JSX } from "preact";
import { useState } from "preact/hooks";
import { um } from "../../../../core/quantities.ts";
import type { Canal, CanalState } from "../../../../core/types.ts";
import type { Draft } from "../../../../store/commands";
import { words } from "../../../../strings/chair";
import { canalText, depthText, sizeText, taperText } from "../../../canal/amounts";
import { Sheet } from "../../../parts/sheet";
import { Stepper } from "../../../parts/stepper";
import { Choice } from "../choice";
import { Press } from "../press";

const own = words.canal_sheet;

/** ISO 3630-1 sizes in use for canals. */
const SIZES = [
  6, 8, 10, 15, 20, 25, 30, 35, 40, 45, 50, 55, 60, 70, 80, 90, 100, 110, 120, 130, 140,
];
const NAME = /^[a-z0-9][a-z0-9_-]{0,23}$/;

interface CanalSheetProps {
  readonly canal: Canal;
  readonly others: readonly Canal[];
  readonly onLog: (drafts: readonly Draft[], text: string) => void;
  readonly onClose: () => void;
}

interface Changes {
  readonly state?: CanalState;
  readonly working_length_um?: number | null;
  readonly orifice_um?: number | null;
  readonly apical_size?: number | null;
  readonly taper_um_per_mm?: number | null;
  readonly reference_point?: string;
  readonly name?: string;
  readonly joins?: string;
  readonly short_of_wl_um?: number;
}

export function CanalSheet(props: CanalSheetProps): JSX.Element {
  const { canal, others, onLog, onClose } = props;
  const [changes, setChanges] = useState<Changes>({});
  const set = (change: Changes): void => setChanges({ ...changes, ...change });
  const now = { ...canal, ...changes, joins: changes.joins ?? canal.joins?.canal ?? "" };
  const sizeAt = SIZES.indexOf(now.apical_size ?? -1);
  return (
    <Sheet title={own.title(canalText(canal.canal))} onClose={onClose}>
      <div class="cc-form">
        <Choice
          what={own.state}
          value={now.state ?? null}
          options={named(own.states)}
          onChoose={(state) => set({ state })}
        />
        <Labelled text={own.working_length}>
          <Stepper
            label={own.working_length}
            value={now.working_length_um ?? null}
            step={500}
            least={5000}
            most={40_000}
            start={20_000}
            text={depthText}
            onChange={(working_length_um) => set({ working_length_um })}
          />
        </Labelled>
        <Labelled text={own.orifice}>
          <Stepper
            label={own.orifice}
            value={now.orifice_um ?? null}
            step={500}
            least={0}
            most={20_000}
            start={8000}
            text={depthText}
            onChange={(orifice_um) => set({ orifice_um })}
          />
        </Labelled>
        <Labelled text={own.size}>
          <Stepper
            label={own.size}
            value={sizeAt < 0 ? null : sizeAt}
            step={1}
            least={0}
            most={SIZES.length - 1}
            start={5}
            text={(at) => sizeText(SIZES[at] ?? 0)}
            onChange={(at) => set({ apical_size: at === null ? null : (SIZES[at] ?? null) })}
          />
        </Labelled>
        <Labelled text={own.taper}>
          <Stepper
            label={own.taper}
            value={now.taper_um_per_mm ?? null}
            step={10}
            least={20}
            most={120}
            start={40}
            text={taperText}
            onChange={(taper_um_per_mm) => set({ taper_um_per_mm })}
          />
        </Labelled>
        <label class="field">
          <span>{own.reference}</span>
          <input
            class="entry"
            maxLength={120}
            value={now.reference_point ?? ""}
            onInput={(event) => set({ reference_point: event.currentTarget.value })}
          />
        </label>
        <label class="field">
          <span>{own.rename}</span>
          <input
            class="entry"
            maxLength={120}
            value={now.name ?? ""}
            onInput={(event) => set({ name: event.currentTarget.value })}
          />
        </label>
        {others.length > 0 && (
          <Choice
            what={own.joins}
            value={now.joins}
            options={[
              ["", own.joins_none],
              ...others.map((one): [string, string] => [one.canal, canalText(one.canal)]),
            ]}
            onChoose={(joins) => set({ joins })}
          />
        )}
        {now.joins !== "" && (
          <Labelled text={own.joins_at}>
            <Stepper
              label={own.joins_at}
              value={changes.short_of_wl_um ?? canal.joins?.short_of_wl_um ?? null}
              step={500}
              least={0}
              most={20_000}
              start={3000}
              text={depthText}
              onChange={(short) => set(short === null ? {} : { short_of_wl_um: short })}
            />
          </Labelled>
        )}
        <p class="soft small">{own.history}</p>
        <Press
          class="press main wide"
          disabled={Object.keys(changes).length === 0}
          onPress={() => {
            onLog([draftOf(canal, changes)], own.title(canalText(canal.canal)));
            onClose();
          }}
        >
          {Object.keys(changes).length === 0 ? own.unchanged : own.save}
        </Press>
      </div>
    </Sheet>
  );
}

/** Only what was changed is set; nulls leave what was known as it was. */
function draftOf(canal: Canal, changes: Changes): Draft {
  const depth = (value: number | null | undefined) => (value == null ? null : um(value));
  const joins = changes.joins ?? canal.joins?.canal ?? "";
  const short = changes.short_of_wl_um ?? canal.joins?.short_of_wl_um ?? null;
  const joined = changes.joins !== undefined || changes.short_of_wl_um !== undefined;
  return {
    kind: "canal_set",
    canal: canal.canal,
    state: changes.state ?? null,
    working_length_um: depth(changes.working_length_um),
    orifice_um: depth(changes.orifice_um),
    apical_size: changes.apical_size ?? null,
    taper_um_per_mm: changes.taper_um_per_mm ?? null,
    reference_point: filled(changes.reference_point),
    name: filled(changes.name),
    joins:
      joined && joins !== "" && short !== null ? { canal: joins, short_of_wl_um: um(short) } : null,
  };
}

function filled(text: string | undefined): string | null {
  return text === undefined || text.trim() === "" ? null : text.trim();
}

interface NewCanalProps {
  readonly known: readonly string[];
  readonly onLog: CanalSheetProps["onLog"];
  readonly onClose: () => void;
}

const USUAL = [
  "mb1",
  "mb2",
  "mb3",
  "db",
  "p",
  "mb",
  "ml",
  "mm",
  "d",
  "db2",
  "dl",
  "b",
  "l",
  "single",
];

/** A canal is found: named by a tap, or in a few letters of one's own. */
export function NewCanalSheet(props: NewCanalProps): JSX.Element {
  const [name, setName] = useState("");
  const add = (canal: string): void => {
    props.onLog([{ kind: "canal_set", canal, state: "located" }], own.title(canalText(canal)));
    props.onClose();
  };
  const free = USUAL.filter((canal) => !props.known.includes(canal));
  const typed = name.trim().toLowerCase();
  return (
    <Sheet title={own.new} onClose={props.onClose}>
      <div class="cc-form">
        <Choice
          what={own.new_name}
          value={null}
          options={free.map((canal): [string, string] => [canal, canalText(canal)])}
          onChoose={add}
        />
        <form
          class="cc-form"
          onSubmit={(event) => {
            event.preventDefault();
            if (NAME.test(typed) && typed !== "chamber" && !props.known.includes(typed)) add(typed);
          }}
        >
          <label class="field">
            <span>{own.new_name}</span>
            <input
              class="entry"
              maxLength={24}
              value={name}
              aria-invalid={typed !== "" && !NAME.test(typed)}
              onInput={(event) => setName(event.currentTarget.value)}
            />
          </label>
          <button type="submit" class="press">
            {words.canal.add}
          </button>
        </form>
      </div>
    </Sheet>
  );
}

export function Labelled(props: {
  readonly text: string;
  readonly children: JSX.Element;
}): JSX.Element {
  return (
    <div class="cc-labelled">
      <span class="small soft">{props.text}</span>
      {props.children}
    </div>
  );
}

export function named<Key extends string>(texts: { readonly [K in Key]: string }): [Key, string][] {
  return Object.entries(texts) as [Key, string][];
}
