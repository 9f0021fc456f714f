/** At the chair: one visit, drawn as its tooth, run with two taps an act. */

import type { JSX } from "preact";
import { useEffect, useState } from "preact/hooks";
import "./chair.css";
import { clinic, person, roomTitle, zone } from "../../../store/clinic";
import { isWall } from "../../../store/device";
import { now } from "../../../store/now";
import { go, to } from "../../../store/route";
import { connected } from "../../../store/server";
import { eventsOf, visitRow, watch } from "../../../store/visits";
import { words } from "../../../strings/chair";
import { canalText, elapsedText, timeOfDayText } from "../../canal/amounts";
import { NoVisit } from "../../parts/no_visit";
import { declareIncident } from "../incident/declare";
import { ActsRow } from "./acts_row";
import { benchOf, type Chair, chairOf, entriesOf } from "./chair_state";
import { letGo, putBack, tapSite } from "./giving";
import { aheadOf, type Spoken, targetLevels } from "./hand";
import { Header } from "./header";
import { JustLogged } from "./just_logged";
import { doNext, doWithResult } from "./next_act";
import { NextRow } from "./next_row";
import { canalsNow } from "./now_of";
import { nextFor } from "./plan_view";
import { Press } from "./press";
import { usePulse } from "./pulse";
import { Sheets } from "./sheets/sheets";
import { openQuestions } from "./sheets/small_sheets";
import { StopBar } from "./stop_bar";
import { StopWhy } from "./stop_why";
import { Strip } from "./strip";
import { siteText } from "./texts";
import { stop, toggleActivation } from "./tool_use";
import { ToothPanel } from "./tooth_panel";
import { Tray } from "./tray";
import { undoLeftMs } from "./undo";
import { useUnheard } from "./unheard";
import { usualTip } from "./usual";

export function ChairScreen(props: { readonly visit: string }): JSX.Element {
  const { visit } = props;
  const chair = chairOf(visit);
  useEffect(() => watch(visit), [visit]);
  usePulse(visit);
  const [failure, setFailure] = useState<string | null>(null);
  const onFailure = (found: unknown): void =>
    setFailure(found instanceof Error ? found.message : String(found));
  const record = chair.record.value;
  if (record === null) {
    return (
      <main class="cc-chair cc-chair-empty">
        <NoVisit visit={visit} />
      </main>
    );
  }
  return (
    <main
      class={isWall.value ? "cc-chair cc-wall" : "cc-chair"}
      data-stopped={chair.stopped.value !== null}
    >
      <Head visit={visit} />
      <Speech chair={chair} failure={failure} onFailure={onFailure} />
      <Panel chair={chair} onFailure={onFailure} />
      <Next chair={chair} onFailure={onFailure} />
      {!isWall.value && (
        <>
          <Tray chair={chair} entries={entriesOf(chair)} onFailure={onFailure} />
          <ActsRow chair={chair} entries={entriesOf(chair)} onFailure={onFailure} />
        </>
      )}
      <StopBar
        stoppedSinceMs={chair.stopped.value}
        onStop={() => void stop(chair).catch(onFailure)}
        onResume={() => {
          chair.sheet.value = { sheet: "resume" };
        }}
        onIncident={() => {
          void declareIncident(visit, record).catch(onFailure);
          go(to.incident(visit));
        }}
      />
      <Sheets chair={chair} onFailure={onFailure} />
    </main>
  );
}

function Head(props: { readonly visit: string }): JSX.Element {
  const row = visitRow(props.visit);
  const pending = eventsOf(props.visit).value.pending.length;
  return (
    <Header
      room={row === null ? "" : roomTitle(row.room)}
      tooth={row?.tooth ?? ""}
      label={row?.label ?? ""}
      who={person.value?.title ?? words.team.title}
      pending={pending}
      training={row?.training ?? false}
      whoPath={to.who()}
      backPath={to.rooms()}
    />
  );
}

/** The guard's strip; while nothing is to be said, what stands about this visit. */
function Speech(props: {
  readonly chair: Chair;
  readonly failure: string | null;
  readonly onFailure: (failure: unknown) => void;
}): JSX.Element {
  const { chair, failure, onFailure } = props;
  const record = chair.record.value;
  const staff = clinic.value?.staff ?? [];
  const heardAt = eventsOf(chair.visit).value.entries.at(-1)?.recorded_at_ms ?? null;
  const unheard = useUnheard(chair.visit);
  const isSigned = visitRow(chair.visit)?.signed_seq != null;
  const heard = [
    ...(connected.value || heardAt === null
      ? []
      : [words.speak.as_of(timeOfDayText(heardAt, zone.value))]),
    ...(unheard > 0 ? [words.speak.not_heard(unheard)] : []),
    ...(isSigned ? [words.signed_since] : []),
  ];
  const asOf = heard.length === 0 ? null : heard.join(" · ");
  const timing = chair.timing.value;
  const last = chair.last.value;
  const leftMs = undoLeftMs(last, now.value);
  const open = record === null ? 0 : openQuestions(record, chair.kit.value).length;
  const said =
    failure ??
    (record?.closed_at_ms != null ? (
      words.closed
    ) : record !== null && record.unread.length > 0 ? (
      words.record_incomplete
    ) : chair.stopped.value !== null ? (
      <StopWhy chair={chair} onFailure={onFailure} />
    ) : timing !== null ? (
      words.rack.timing(siteText(timing.site), elapsedText(now.value - timing.fromMs))
    ) : last !== null && leftMs > 0 ? (
      <JustLogged chair={chair} onFailure={onFailure} />
    ) : open > 0 ? (
      <OpenQuestions chair={chair} count={open} />
    ) : (
      words.speak.quiet
    ));
  return (
    <Strip
      spoken={spokenNow(chair)}
      available={chair.kit.value !== null}
      entries={entriesOf(chair)}
      asOf={asOf}
      quiet={said}
      dentists={staff.filter((one) => one.role === "dentist")}
      onPutBack={() => putBack(chair)}
      onRelease={(orderedBy, reason) => void letGo(chair, orderedBy, reason).catch(onFailure)}
    />
  );
}

/** What was said of the hand, and what the depth adds at the site that comes next. */
function spokenNow(chair: Chair): readonly Spoken[] {
  const hand = chair.hand.value;
  const bench = benchOf(chair);
  if (hand === null || bench === null) return [];
  const next = nextFor(chair.plan.value, hand.syringe.contents);
  const site = next?.site ?? hand.site;
  if (site === null) return hand.spoken;
  return [...hand.spoken, ...aheadOf(bench, hand, site, usualTip(bench.record, next, site))];
}

/** Not answered is not no: the strip keeps saying so, one tap from answering. */
function OpenQuestions(props: { readonly chair: Chair; readonly count: number }): JSX.Element {
  return (
    <Press
      class="cc-open-questions"
      testid="questions"
      onPress={() => {
        props.chair.sheet.value = { sheet: "questions" };
      }}
    >
      {words.tools.questions(props.count)}
    </Press>
  );
}

function Panel(props: {
  readonly chair: Chair;
  readonly onFailure: (failure: unknown) => void;
}): JSX.Element | null {
  const { chair, onFailure } = props;
  const record = chair.record.value;
  if (record === null) return null;
  const hand = chair.hand.value;
  const bench = benchOf(chair);
  const sites = [...record.canals.map((one) => one.canal), "chamber"];
  const using = chair.tool.value.tool !== "syringes";
  const targets =
    hand !== null && bench !== null && !using
      ? targetLevels(bench, hand, sites, (site) => usualTip(record, chair.plan.value.next, site))
      : using
        ? new Map<string, null>()
        : null;
  return (
    <ToothPanel
      canals={canalsNow(record, chair.kit.value, chair.plan.value.left, now.value)}
      chamber={record.chamber}
      entries={entriesOf(chair)}
      nowMs={now.value}
      targets={targets}
      next={chair.plan.value.next?.site ?? null}
      timing={chair.timing.value?.site ?? null}
      onSite={(site) => void tapSite(chair, site).catch(onFailure)}
      onAdd={() => {
        chair.sheet.value = { sheet: "new_canal" };
      }}
    />
  );
}

function Next(props: {
  readonly chair: Chair;
  readonly onFailure: (failure: unknown) => void;
}): JSX.Element {
  const { chair, onFailure } = props;
  const record = chair.record.value;
  const running =
    record?.activations.findLast((one) => one.stopped === null && one.end_ms === null) ?? null;
  const latest =
    running === null ? null : record?.activations.findLast((one) => one.canal === running.canal);
  const runs =
    running !== null && latest?.started === running.started && record?.closed_at_ms === null;
  return (
    <NextRow
      plan={chair.plan.value}
      entries={entriesOf(chair)}
      running={
        runs && running !== null
          ? {
              canal: running.canal,
              text: words.activate.stop(
                words.activate.kinds[running.activation],
                canalText(running.canal),
              ),
            }
          : null
      }
      onDo={(act) => void doNext(chair, act).catch(onFailure)}
      onResult={(act, result) => void doWithResult(chair, act, result).catch(onFailure)}
      onStopActivation={(canal) => {
        if (running !== null)
          void toggleActivation(chair, canal, running.activation).catch(onFailure);
      }}
      onSkip={() => {
        chair.sheet.value = { sheet: "skip" };
      }}
    />
  );
}
