/** The announced act, done as planned in one tap; a caution or a hold waits for the person. */

import { words } from "../../../strings/chair";
import { markOf } from "../../canal/marks";
import { benchOf, type Chair, entriesOf, logTap } from "./chair_state";
import { giveNow, pick } from "./giving";
import { giveOnFile } from "./hand";
import { nextFor } from "./plan_view";
import type { PlannedAct } from "./planned";
import { onFile } from "./rack";
import { actText } from "./texts";
import { hold, toggleActivation, useTool } from "./tool_use";
import { usualAmounts } from "./usual";

/** The announced act, as planned; a caution or a hold waits for the person. */
export async function doNext(chair: Chair, act: PlannedAct): Promise<void> {
  if (act.act === "irrigate" && act.contents !== null && !act.onFile) {
    const held = chair.hand.peek();
    const syringe = chair.rack
      .peek()
      .find((one) => nextFor({ ...chair.plan.peek(), acts: [act] }, one.contents) !== null);
    if (syringe === undefined) {
      chair.sheet.value = { sheet: "new_syringe" };
      return;
    }
    if (held?.syringe.syringe !== syringe.syringe) return pick(chair, syringe);
    const bench = benchOf(chair);
    if (bench === null) return;
    return giveNow(
      chair,
      held,
      act.site,
      usualAmounts(bench.record, act, syringe.syringe, act.site),
    );
  }
  await doOther(chair, act);
}

async function doOther(chair: Chair, act: PlannedAct): Promise<void> {
  switch (act.act) {
    case "irrigate":
      return coat(chair, act);
    case "instrument":
      if (act.size === null) {
        chair.tool.value = {
          tool: "file",
          size: 25,
          taperUmPerMm: act.taperUmPerMm ?? 60,
          motion: act.motion ?? "rotary",
          shortUm: 0,
          onFile: null,
          once: true,
        };
        return;
      }
      return useTool(
        chair,
        {
          tool: "file",
          size: act.size,
          taperUmPerMm: act.taperUmPerMm ?? 20,
          motion: act.motion ?? "hand",
          shortUm: 0,
          onFile: null,
        },
        act.site,
      );
    case "recapitulate":
      return useTool(chair, { tool: "recapitulate", size: act.size ?? 10 }, act.site);
    case "activate":
      return toggleActivation(chair, act.site, act.activation ?? "ultrasonic");
    case "remove":
      return useTool(chair, { tool: "remove", by: act.by ?? "points", dry: null }, act.site);
    case "check":
      return useTool(
        chair,
        { tool: "check", what: act.check ?? "patency", result: null },
        act.site,
      );
    case "wait":
      await logTap(
        chair,
        [{ kind: "step_done", step: act.step, cycle: act.cycle, canal: act.site }],
        act.step,
      );
      return;
    case "dress":
      await logTap(
        chair,
        [{ kind: "dressing_placed", site: act.site, material: act.material ?? "unknown" }],
        words.dress.dress,
      );
      return;
    case "fill":
      await logTap(
        chair,
        [{ kind: "canal_filled", site: act.site, material: act.material ?? "unknown" }],
        words.dress.fill,
      );
      return;
  }
}

/** The plan's gel on a file; how far the file goes is not known until it has gone. */
async function coat(chair: Chair, act: PlannedAct): Promise<void> {
  const bench = benchOf(chair);
  if (bench === null || act.contents === null) return;
  const step = giveOnFile(bench, onFile(act.contents), act.site, act.tipUm);
  if (step.delivery === null) return hold(chair, step);
  const text = words.next.on_file(markOf(act.contents, entriesOf(chair)).short);
  await logTap(chair, step.drafts, actText(text, "", act.site));
}

/** A check with its result, or points with how dry the last one came out. */
export async function doWithResult(chair: Chair, act: PlannedAct, result: string): Promise<void> {
  if (act.act === "check" && act.check !== null) {
    return useTool(chair, { tool: "check", what: act.check, result }, act.site);
  }
  const dry = (["yes", "no", "blood", "exudate"] as const).find((one) => one === result) ?? null;
  return useTool(chair, { tool: "remove", by: "points", dry }, act.site);
}
