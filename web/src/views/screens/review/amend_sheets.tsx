/** Correct, void or restore an event: by steps and reasons to choose from, both values in sight. */

import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { VisitRecord } from "../../../core/types.ts";
import type { Draft } from "../../../store/commands";
import { exactNow } from "../../../store/now";
import { words as chair } from "../../../strings/chair";
import { words } from "../../../strings/review";
import { depthText, spanText, timeOfDayText, volumeText } from "../../canal/amounts";
import { Sheet } from "../../parts/sheet";
import { Stepper } from "../../parts/stepper";
import { Choice } from "../chair/choice";
import { Press } from "../chair/press";
import { Labelled, named } from "../chair/sheets/canal_sheet";
import { siteText } from "../chair/texts";
import {
  type Account,
  changes,
  correctionDraft,
  doubts,
  standingPayload,
  voidDraft,
} from "./correction";
import { fieldName, fieldText, kindText, type Lookup } from "./event_text";

const own = words.correct;

interface AmendProps {
  readonly account: Account;
  readonly record: VisitRecord;
  readonly look: Lookup;
  readonly onLog: (draft: Draft) => void;
  readonly onClose: () => void;
}

export function CorrectSheet(props: AmendProps): JSX.Element {
  const { account, record, look, onLog, onClose } = props;
  const before = standingPayload(account);
  const [change, setChange] = useState<{ readonly [field: string]: unknown }>({});
  const [reason, setReason] = useState("");
  const [meant, setMeant] = useState(false);
  const payload = { ...before, ...change };
  const changed = changes(before, payload);
  const asked = doubts(payload, record, exactNow());
  const set = (one: { readonly [field: string]: unknown }): void => {
    setChange({ ...change, ...one });
    setMeant(false);
  };
  const figure = (field: string): number | null => {
    const value = payload[field];
    return typeof value === "number" ? value : null;
  };
  const has = (field: string): boolean => field in before;
  const siteField = has("canal") ? "canal" : "site";
  const at = figure("occurred_at_ms") ?? account.original.occurred_at_ms;
  const blocked = asked.includes("in_the_future") || (asked.length > 0 && !meant);
  return (
    <Sheet title={`${own.title}: ${kindText(account.original.kind)}`} onClose={onClose}>
      <div class="cc-form">
        <p class="small soft">{own.kept}</p>
        {has("volume_ul") && (
          <Labelled text={own.volume}>
            <Stepper
              label={own.volume}
              value={figure("volume_ul")}
              step={500}
              least={0}
              most={100_000}
              start={1000}
              text={volumeText}
              mayBeUnknown
              onChange={(volume_ul) => set({ volume_ul })}
            />
          </Labelled>
        )}
        {has("duration_ms") && (
          <Labelled text={own.duration}>
            <Stepper
              label={own.duration}
              value={figure("duration_ms")}
              step={5000}
              least={0}
              most={600_000}
              start={10_000}
              text={spanText}
              mayBeUnknown
              onChange={(duration_ms) => set({ duration_ms })}
            />
          </Labelled>
        )}
        <fieldset class="cc-choice">
          <legend>
            {own.time} <b>{timeOfDayText(at, look.zone)}</b>
          </legend>
          <div class="cc-options">
            {(
              [
                [-60_000, own.earlier],
                [-5000, own.earlier_s],
                [5000, own.later_s],
                [60_000, own.later],
              ] as const
            ).map(([by, text]) => (
              <Press
                repeats
                key={by}
                class="cc-option"
                onPress={() => set({ occurred_at_ms: at + by })}
              >
                {text}
              </Press>
            ))}
          </div>
        </fieldset>
        {has(siteField) && (
          <Choice
            row
            what={own.site}
            value={String(payload[siteField] ?? "")}
            options={[
              ...record.canals.map((one) => one.canal),
              ...(siteField === "site" ? ["chamber"] : []),
            ].map((site): [string, string] => [site, siteText(site)])}
            onChoose={(site) => set({ [siteField]: site })}
          />
        )}
        {has("tip_um") && (
          <Labelled text={own.tip}>
            <Stepper
              label={own.tip}
              value={figure("tip_um")}
              step={500}
              least={0}
              most={40_000}
              start={18_000}
              text={depthText}
              mayBeUnknown
              onChange={(tip_um) => set({ tip_um })}
            />
          </Labelled>
        )}
        {has("how") && (
          <Choice
            row
            what={own.how}
            value={String(payload.how ?? "")}
            options={named(chair.how)}
            onChoose={(how) => set({ how })}
          />
        )}
        {changed.map((one) => (
          <p key={one.field}>
            {fieldName(one.field)}: {words.events.was} <s>{fieldText(one.field, one.was, look)}</s>,{" "}
            {words.events.now} <b>{fieldText(one.field, one.now, look)}</b>
          </p>
        ))}
        <Reasons
          keys={["wrong_amount", "wrong_canal", "wrong_time", "wrong_depth"]}
          value={reason}
          onReason={setReason}
        />
        {asked.map((doubt) => (
          <p key={doubt} class="band caution" role="alert">
            {doubt === "large_volume"
              ? own.ask.large_volume(volumeText(figure("volume_ul") ?? 0))
              : own.ask[doubt]}
          </p>
        ))}
        {asked.length > 0 && !asked.includes("in_the_future") && (
          <Press repeats class="press" pressed={meant} onPress={() => setMeant(true)}>
            {own.meant}
          </Press>
        )}
        <Press
          class="press main wide"
          disabled={changed.length === 0 || reason.trim() === "" || blocked}
          onPress={() => {
            onLog(correctionDraft(account, change, reason.trim()));
            onClose();
          }}
        >
          {changed.length === 0
            ? own.unchanged
            : reason.trim() === ""
              ? own.needs_reason
              : own.save}
        </Press>
      </div>
    </Sheet>
  );
}

export function VoidSheet(props: AmendProps): JSX.Element {
  return (
    <ReasonSheet
      {...props}
      title={own.void_title}
      keys={["did_not_happen", "twice", "wrong_canal"]}
      draft={(reason) => voidDraft(props.account, reason)}
    />
  );
}

/** A void is replaced by an account of the same event, as it stood before. */
export function RestoreSheet(props: AmendProps): JSX.Element {
  return (
    <ReasonSheet
      {...props}
      title={own.restore_title}
      keys={["did_happen"]}
      draft={(reason) => correctionDraft(props.account, {}, reason)}
    />
  );
}

function ReasonSheet(
  props: AmendProps & {
    readonly title: string;
    readonly keys: readonly (keyof typeof own.reasons)[];
    readonly draft: (reason: string) => Draft;
  },
): JSX.Element {
  const [reason, setReason] = useState("");
  return (
    <Sheet
      title={`${props.title}: ${kindText(props.account.original.kind)}`}
      onClose={props.onClose}
    >
      <div class="cc-form">
        <p class="small soft">{own.kept}</p>
        <Reasons keys={props.keys} value={reason} onReason={setReason} />
        <Press
          class="press main wide"
          disabled={reason.trim() === ""}
          onPress={() => {
            props.onLog(props.draft(reason.trim()));
            props.onClose();
          }}
        >
          {reason.trim() === "" ? own.needs_reason : props.title}
        </Press>
      </div>
    </Sheet>
  );
}

function Reasons(props: {
  readonly keys: readonly (keyof typeof own.reasons)[];
  readonly value: string;
  readonly onReason: (reason: string) => void;
}): JSX.Element {
  return (
    <>
      <Choice
        what={own.reason}
        value={props.value}
        options={props.keys.map((key): [string, string] => [own.reasons[key], own.reasons[key]])}
        onChoose={props.onReason}
      />
      <label class="field">
        <span>{own.other}</span>
        <input
          class="entry"
          maxLength={400}
          value={props.value}
          onInput={(event) => props.onReason(event.currentTarget.value)}
        />
      </label>
    </>
  );
}
