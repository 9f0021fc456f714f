/** A canal's map of time by depth, readable in greyscale: patterns and letters carry what it was. */

import type { JSX } from "preact";
import { useId, useLayoutEffect, useRef, useState } from "preact/hooks";
import { words } from "../../../strings/review";
import { canalText, depthText, spanText, timeOfDayText } from "../../canal/amounts";
import { Patterns, patternId } from "../../canal/patterns";
import { type CanalMap, letters, type MapArea, minuteMarks } from "./time_map_model";

const HEIGHT = 200;
const LEFT = 58;
const BOTTOM = 18;
const TOP = 10;
const LETTER_PX = 26;
const APICAL_UM = 3000;

export function TimeMap({
  map,
  zone,
}: {
  readonly map: CanalMap;
  readonly zone: string;
}): JSX.Element {
  const frame = useRef<HTMLElement>(null);
  const [width, setWidth] = useState(600);
  useLayoutEffect(() => {
    const element = frame.current;
    if (element === null) return;
    const measure = (): void => setWidth(Math.max(240, element.clientWidth));
    measure();
    const watcher = new ResizeObserver(measure);
    watcher.observe(element);
    return () => watcher.disconnect();
  }, []);
  const id = `map${useId()}`.replace(/[^a-z0-9-]/gi, "-");
  const inner = width - LEFT - 4;
  const x = (atMs: number): number =>
    LEFT + ((atMs - map.fromMs) / (map.toMs - map.fromMs)) * inner;
  const deep = Math.max(1, map.bottomUm - map.topUm);
  const y = (um: number): number => TOP + ((um - map.topUm) / deep) * (HEIGHT - TOP);
  const apical =
    map.canal.working_length_um === null ? null : map.canal.working_length_um - APICAL_UM;
  return (
    <figure class="cc-map" ref={frame}>
      <figcaption>
        <b>{map.canal.name ?? canalText(map.canal.canal)}</b>{" "}
        <span class="small soft">
          {map.canal.working_length_um === null
            ? words.table.length_unknown
            : depthText(map.canal.working_length_um)}
        </span>
      </figcaption>
      <svg width={width} height={HEIGHT + BOTTOM} role="img" aria-label={spokenOf(map)}>
        <Patterns prefix={id} marks={[...map.areas, ...map.carried].map((area) => area.mark)} />
        <rect x={LEFT} y={TOP} width={inner} height={HEIGHT - TOP} class="cc-map-ground" />
        {map.carried.map((area) => (
          <rect
            key={`${area.fromUm} ${area.fromMs}`}
            x={x(area.fromMs) + 0.5}
            y={y(area.fromUm) + 0.5}
            width={Math.max(0.5, x(area.toMs) - x(area.fromMs) - 1)}
            height={Math.max(0.5, y(area.toUm) - y(area.fromUm) - 1)}
            fill={`url(#${patternId(id, area.mark)})`}
            class="cc-map-carried"
          />
        ))}
        {map.areas.map((area) => {
          const key = `${area.fromUm} ${area.fromMs}`;
          const box = {
            y: y(area.fromUm),
            height: y(area.toUm) - y(area.fromUm),
            fill: `url(#${patternId(id, area.mark)})`,
          };
          return (
            <g key={key}>
              <rect
                x={x(area.fromMs)}
                width={Math.max(0.5, x(area.toMs) - x(area.fromMs))}
                {...box}
                class="cc-map-stale"
              />
              {area.fresh.map((span) => (
                <rect
                  key={span.fromMs}
                  x={x(span.fromMs)}
                  width={Math.max(0.5, x(span.toMs) - x(span.fromMs))}
                  {...box}
                />
              ))}
            </g>
          );
        })}
        {map.activated.map((span) => (
          <g key={span.fromMs} class="cc-map-activated">
            <rect
              x={x(span.fromMs)}
              y={y(span.fromUm)}
              width={Math.max(2, x(span.toMs) - x(span.fromMs))}
              height={Math.max(2, y(span.toUm) - y(span.fromUm))}
            />
            <path
              d={`M${x(span.fromMs)} ${TOP - 4}H${Math.max(x(span.fromMs) + 2, x(span.toMs))}`}
            />
          </g>
        ))}
        {apical !== null && apical > map.topUm && (
          <g class="cc-map-apical">
            <path d={`M${LEFT} ${y(apical)}H${LEFT + inner}`} />
            <text x={LEFT - 4} y={y(apical) + 12} text-anchor="end">
              {words.map.last_3mm}
            </text>
          </g>
        )}
        {map.joined !== null && (
          <g class="cc-map-joined">
            <path d={`M${LEFT} ${y(map.joined.fromUm)}H${LEFT + inner}`} />
            <text x={LEFT + 4} y={y(map.joined.fromUm) + 12}>
              {words.map.joined(canalText(map.joined.into))}
            </text>
          </g>
        )}
        {letters(map, inner, LETTER_PX).map((letter) => (
          <g key={`${letter.atMs} ${letter.atUm}`} class="cc-plate">
            <rect
              x={x(letter.atMs) - 11}
              y={y(letter.atUm) - 11}
              width={22}
              height={22}
              style={{ stroke: letter.mark.ground }}
            />
            <text x={x(letter.atMs)} y={y(letter.atUm) + 6} text-anchor="middle" font-size="15">
              {letter.mark.letter}
            </text>
          </g>
        ))}
        <g class="cc-map-axis">
          <text x={LEFT - 4} y={TOP + 8} text-anchor="end">
            {depthText(map.topUm)}
          </text>
          <text x={LEFT - 4} y={HEIGHT} text-anchor="end">
            {depthText(map.bottomUm)}
          </text>
          {minuteMarks(map).map((at, index) => (
            <g key={at}>
              <path d={`M${x(at)} ${HEIGHT}v4`} />
              {(width > 500 || index % 2 === 0) && (
                <text x={x(at)} y={HEIGHT + 15} text-anchor={x(at) > width - 20 ? "end" : "middle"}>
                  {timeOfDayText(at, zone).slice(0, 5)}
                </text>
              )}
            </g>
          ))}
        </g>
      </svg>
    </figure>
  );
}

function spokenOf(map: CanalMap): string {
  const said = (area: MapArea): string =>
    `${area.mark.long}, ${depthText(area.fromUm)} – ${depthText(area.toUm)}, ${spanText(area.toMs - area.fromMs)}`;
  const parts = [
    ...map.areas.map(said),
    ...map.carried.map((area) => `${words.map.carried_short}: ${said(area)}`),
    ...(map.joined === null ? [] : [words.map.joined(canalText(map.joined.into))]),
  ];
  return words.map.canal(
    canalText(map.canal.canal),
    parts.length === 0 ? words.map.nothing : parts.join("; "),
  );
}
