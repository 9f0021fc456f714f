/** Which sheet is open at the chair, and what it logs. */

import type { JSX } from "preact";
import { clinic } from "../../../../store/clinic";
import { type Draft, log } from "../../../../store/commands";
import { now } from "../../../../store/now";
import { kitDigestOf } from "../../../../store/records";
import { go, to } from "../../../../store/route";
import { type Chair, entriesOf, everySyringe, logTap } from "../chair_state";
import { canalsNow } from "../now_of";
import { resume } from "../tool_use";
import { CanalSheet, NewCanalSheet } from "./canal_sheet";
import { MoreSheet } from "./more_sheet";
import { ProtocolSheet } from "./protocol_sheet";
import {
  CloseSheet,
  FillSheet,
  NoteSheet,
  openQuestions,
  QuestionsSheet,
  ResumeSheet,
  SkipSheet,
  TeamSheet,
} from "./small_sheets";
import { NewSyringeSheet, SyringeSheet } from "./syringe_sheet";

interface SheetsProps {
  readonly chair: Chair;
  readonly onFailure: (failure: unknown) => void;
}

export function Sheets({ chair, onFailure }: SheetsProps): JSX.Element | null {
  const sheet = chair.sheet.value;
  const record = chair.record.value;
  if (sheet === null || record === null) return null;
  const entries = entriesOf(chair);
  const kit = chair.kit.value;
  const onClose = (): void => {
    chair.sheet.value = null;
  };
  const onLog = (drafts: readonly Draft[], text: string): void => {
    void logTap(chair, drafts, text).catch(onFailure);
  };
  switch (sheet.sheet) {
    case "canal": {
      const canal = record.canals.find((one) => one.canal === sheet.canal);
      if (canal === undefined) return null;
      const others = record.canals.filter((one) => one.canal !== sheet.canal);
      return <CanalSheet canal={canal} others={others} onLog={onLog} onClose={onClose} />;
    }
    case "more":
      return <MoreSheet chair={chair} onClose={onClose} />;
    case "new_canal":
      return (
        <NewCanalSheet
          known={record.canals.map((one) => one.canal)}
          onLog={onLog}
          onClose={onClose}
        />
      );
    case "new_syringe":
      return (
        <NewSyringeSheet
          kit={kit}
          entries={entries}
          before={everySyringe(chair).map((one) => one.contents)}
          onLog={onLog}
          onClose={onClose}
        />
      );
    case "syringe": {
      const syringe = everySyringe(chair).find((one) => one.syringe === sheet.syringe);
      return syringe === undefined ? null : (
        <SyringeSheet
          kit={kit}
          syringe={syringe}
          entries={entries}
          onLog={onLog}
          onClose={onClose}
        />
      );
    }
    case "fill":
      return <FillSheet canals={record.canals} kit={kit} onLog={onLog} onClose={onClose} />;
    case "note":
      return <NoteSheet onLog={onLog} onClose={onClose} />;
    case "questions":
      return (
        <QuestionsSheet questions={openQuestions(record, kit)} onLog={onLog} onClose={onClose} />
      );
    case "team":
      return <TeamSheet staff={clinic.value?.staff ?? []} onLog={onLog} onClose={onClose} />;
    case "skip": {
      const next = chair.plan.value.next;
      return next === null ? null : (
        <SkipSheet act={next} entries={entries} onLog={onLog} onClose={onClose} />
      );
    }
    case "protocol":
      return <ProtocolSheet kit={kitDigestOf(chair.visit).value} onLog={onLog} onClose={onClose} />;
    case "resume":
      return (
        <ResumeSheet
          onResume={(isolation) => void resume(chair, isolation).catch(onFailure)}
          onClose={onClose}
        />
      );
    case "close": {
      const canals = canalsNow(record, kit, new Map(), now.value);
      const close = async (): Promise<void> => {
        onClose();
        await log(chair.visit, { kind: "visit_closed" });
        go(to.review(chair.visit));
      };
      return (
        <CloseSheet
          inPlace={canals
            .filter((one) => one.bands.length > 0 && one.state !== "filled")
            .map((one) => one.canal)}
          working={canals.filter((one) => one.activation !== null).map((one) => one.canal)}
          onClosed={() => void close().catch(onFailure)}
          onClose={onClose}
        />
      );
    }
  }
}
