/** What a tap on a site logs while a tool other than a syringe is chosen; stop and resume. */

import { um } from "../../../core/quantities.ts";
import { type Draft, log, newId } from "../../../store/commands";
import { exactNow } from "../../../store/now";
import { words } from "../../../strings/chair";
import { benchOf, type Chair, logTap, type Tool } from "./chair_state";
import { giveOnFile, type Step } from "./hand";
import { onFile } from "./rack";
import { actText } from "./texts";
import { timersOf } from "./timers_of";
import { usualTip } from "./usual";

/** A tool other than a syringe is used at a site. */
export async function useTool(chair: Chair, tool: Tool, site: string): Promise<void> {
  const bench = benchOf(chair);
  if (bench === null) return;
  const canal = bench.record.canals.find((one) => one.canal === site) ?? null;
  const length = canal?.working_length_um ?? null;
  const name = site === "chamber" ? words.chamber : site.toUpperCase();
  if (tool.tool === "remove") {
    const toUm = tool.by === "points" ? null : usualTip(bench.record, null, site);
    await logTap(
      chair,
      [
        {
          kind: "irrigant_removed",
          site,
          by: tool.by,
          to_um: toUm === null ? null : um(toUm),
          dry: tool.by === "points" ? tool.dry : null,
        },
      ],
      actText(tool.by === "points" ? words.remove.points : words.remove.aspirate, "", site),
    );
    return;
  }
  if (tool.tool === "check") {
    await logTap(
      chair,
      [
        {
          kind: "check_done",
          what: tool.what,
          site: site === "chamber" ? null : site,
          result: tool.result,
        },
      ],
      actText(words.check.what[tool.what], tool.result ?? "", site),
    );
    return;
  }
  if (site === "chamber") return;
  if (tool.tool === "file") {
    const reached = length === null ? null : Math.max(0, length - tool.shortUm);
    const coated =
      tool.onFile === null ? null : giveOnFile(bench, onFile(tool.onFile), site, reached);
    const file: Draft = {
      kind: "instrument_used",
      canal: site,
      size: tool.size,
      taper_um_per_mm: tool.taperUmPerMm,
      length_um: reached === null ? null : um(reached),
      motion: tool.motion,
    };
    if (tool.once) chair.tool.value = { tool: "syringes" };
    if (coated !== null && coated.delivery === null) return hold(chair, coated);
    await logTap(chair, [...(coated?.drafts ?? []), file], words.file.log(String(tool.size), name));
    return;
  }
  if (tool.tool === "recapitulate") {
    await logTap(
      chair,
      [
        {
          kind: "canal_recapitulated",
          canal: site,
          size: tool.size,
          length_um: length,
          motion: "hand",
        },
      ],
      `${words.tools.recapitulate} ${tool.size} ${name}`,
    );
    return;
  }
  if (tool.tool === "activate") await toggleActivation(chair, site, tool.kind);
}

/** A hold on what was on the file waits in the strip like any other. */
export async function hold(chair: Chair, step: Step): Promise<void> {
  chair.hand.value = step.hand;
  await logTap(chair, step.drafts, "");
}

/** Start an activation in a canal, or stop the one that runs there. */
export async function toggleActivation(
  chair: Chair,
  canal: string,
  kind: Extract<Tool, { tool: "activate" }>["kind"],
): Promise<void> {
  const record = chair.record.peek();
  if (record === null) return;
  const running = record.activations.findLast((one) => one.canal === canal);
  const planned =
    chair.plan
      .peek()
      .acts.find(
        (act) => act.act === "activate" && act.site === canal && act.activation === kind,
      ) ?? null;
  const tipUm = planned?.tipUm ?? usualTip(record, null, canal);
  const named = words.activate.kinds[kind];
  if (running !== undefined && running.stopped === null) {
    await logTap(
      chair,
      [
        {
          kind: "activation_stopped",
          canal,
          activation: running.activation,
          tip_um: tipUm === null ? null : um(tipUm),
        },
      ],
      words.activate.stop(named, canal.toUpperCase()),
    );
    return;
  }
  const id = newId();
  await logTap(
    chair,
    [
      {
        kind: "activation_started",
        id,
        canal,
        activation: kind,
        tip_um: tipUm === null ? null : um(tipUm),
      },
      ...timersOf(planned, id, exactNow()),
    ],
    words.activate.start(named, canal.toUpperCase()),
  );
}

/** Everybody stops. What runs in the canals runs on; the reason may come later. */
export async function stop(chair: Chair): Promise<void> {
  chair.hand.value = null;
  chair.timing.value = null;
  await log(chair.visit, { kind: "treatment_stopped" });
}

export async function resume(chair: Chair, isolation: boolean): Promise<void> {
  chair.sheet.value = null;
  const check: Draft[] = isolation
    ? [{ kind: "check_done", what: "isolation", result: words.check.results.isolation[0] ?? null }]
    : [];
  await log(chair.visit, { kind: "treatment_resumed" }, ...check);
}
