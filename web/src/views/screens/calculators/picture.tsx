/** The live picture of each question, from the answer's own figures and the server's curve. */

import type { JSX } from "preact";
import { words } from "../../../strings/calculators";
import type { Figures, Given } from "./asking";
import { CanalPicture } from "./canal_picture";
import { ExposureCurve, FlowCurves, StorageCurve, WarmthCurve } from "./curves";
import type { Calculator } from "./forms";
import { Ladder } from "./ladder";
import { figureText, tenthsText, unitOf, withUnit } from "./numbers";
import { Parts } from "./parts";
import type { Shape } from "./scales";
import { type Answered, defaultOf, type Extra } from "./state";

export type Here = Extract<Answered, { readonly at: "here" }>;

export function Picture(props: {
  readonly calculator: Calculator;
  readonly answered: Here;
}): JSX.Element | null {
  const { calculator, answered } = props;
  const { figures, given } = answered;
  switch (calculator) {
    case "dilute":
    case "mix":
      return <Parts calculator={calculator} figures={figures} given={given} />;
    case "canal":
    case "needle":
    case "rinse":
      return (
        <>
          <Brought extra={answered.canal}>
            {(canal) => <CanalOf calculator={calculator} answered={answered} canal={canal} />}
          </Brought>
          {calculator === "rinse" && <Ladder figures={figures} given={given} />}
        </>
      );
    case "storage":
      return (
        <Brought extra={answered.curve}>
          {(rows) => <StorageCurve rows={rows} figures={figures} given={given} />}
        </Brought>
      );
    case "flow":
      return (
        <Brought extra={answered.curve}>
          {(rows) => <FlowCurves rows={rows} figures={figures} />}
        </Brought>
      );
    case "exposure":
      return (
        <Brought extra={answered.curve}>
          {(rows) => <ExposureCurve rows={rows} figures={figures} />}
        </Brought>
      );
    case "warmth":
      return (
        <Brought extra={answered.curve}>
          {(rows) => <WarmthCurve rows={rows} figures={figures} given={given} />}
        </Brought>
      );
    case "strength":
      return null;
  }
}

function Brought<Value>(props: {
  readonly extra: Extra<Value>;
  readonly children: (value: Value) => JSX.Element;
}): JSX.Element {
  if (props.extra.at === "here") return props.children(props.extra.value);
  const { drawing, no_drawing } = words.waiting;
  return (
    <p class="small soft calc-drawing">{props.extra.at === "coming" ? drawing : no_drawing}</p>
  );
}

const OPEN_ENDED = ["flat", "bevelled", "notched"];

function CanalOf(props: {
  readonly calculator: Calculator;
  readonly answered: Here;
  readonly canal: Figures;
}): JSX.Element | null {
  const { calculator, answered, canal } = props;
  const { figures, given } = answered;
  const shape = shapeOf(given, canal);
  if (shape === null) return null;
  const wl = shape.workingLength;
  const end = { depth: wl, text: words.picture.end(mm(wl)) };
  const bare = numberOf(figures.not_reached_mm);
  const unreached =
    bare === null || bare < 0.05
      ? []
      : [{ depth: wl - bare / 2, text: words.picture.unreached(upMm(bare)) }];
  const short = shortOf(calculator, given, figures);
  if (calculator === "canal") {
    const place = short === null ? null : wl - short;
    const width = numberOf(figures.diameter_mm) ?? 0;
    const below = withUnit(figureText(numberOf(figures.below_ul) ?? 0), unitOf("below_ul"));
    const said =
      place === null || short === null
        ? []
        : [
            { depth: place, text: words.picture.place(mm(short)) },
            { depth: place, text: words.picture.wide(mm(width)) },
            { depth: wl - short / 2, text: words.picture.below(below) },
          ];
    return <CanalPicture shape={shape} place={place} said={[...said, end]} />;
  }
  const tip = short === null ? null : wl - short;
  const from = bare === null ? null : wl - bare;
  if (calculator === "rinse") {
    const said = [
      ...(tip === null || short === null
        ? []
        : [{ depth: tip, text: words.picture.tip(mm(short)) }]),
      ...unreached,
      end,
    ];
    return <CanalPicture shape={shape} tip={tip} unreachedFrom={from} said={said} />;
  }
  const outer = numberOf(figures.outer_max_mm);
  const openEnded = OPEN_ENDED.includes(String(given.needle_tip));
  const needle = tip === null || outer === null ? null : { outerMm: outer, tipMm: tip, openEnded };
  const said = [
    ...(numberOf(figures.stop_mm) === null || figures.binds === true
      ? []
      : [{ depth: 0, text: words.picture.stop(downMm(numberOf(figures.stop_mm) ?? 0)) }]),
    ...(tip === null || short === null
      ? []
      : [
          {
            depth: tip,
            text: words.picture.tip(figures.binds === true ? mm(short) : upMm(short)),
          },
        ]),
    ...(figures.binds === true && tip !== null ? [{ depth: tip, text: words.picture.binds }] : []),
    ...unreached,
    end,
  ];
  return <CanalPicture shape={shape} needle={needle} unreachedFrom={from} said={said} />;
}

function shortOf(calculator: Calculator, given: Given, figures: Figures): number | null {
  if (given.short_of_wl_mm !== undefined) return Number(given.short_of_wl_mm);
  if (calculator === "needle") return numberOf(figures.shortest_of_wl_mm);
  return defaultOf(calculator, "short_of_wl_mm");
}

function shapeOf(given: Given, canal: Figures): Shape | null {
  const points = canal.points_mm;
  if (!Array.isArray(points) || points.length < 2) return null;
  return {
    points: points as readonly (readonly [number, number])[],
    workingLength: Number(given.working_length_mm),
  };
}

export function numberOf(value: unknown): number | null {
  return typeof value === "number" ? value : null;
}

function mm(value: number): string {
  return withUnit(figureText(value), "mm");
}

function upMm(value: number): string {
  return withUnit(tenthsText(value, "up"), "mm");
}

function downMm(value: number): string {
  return withUnit(tenthsText(value, "down"), "mm");
}
