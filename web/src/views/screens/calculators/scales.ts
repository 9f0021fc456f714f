/** Where things lie in a drawing: round steps of an axis, names pushed apart, a scale of tens. */

/** Round values from low to high, about as many as asked. */
export function ticks(low: number, high: number, about: number): readonly number[] {
  const span = high - low;
  if (!(span > 0)) return [low];
  const raw = span / about;
  const power = 10 ** Math.floor(Math.log10(raw));
  const step = ([1, 2, 2.5, 5, 10].find((part) => part * power >= raw * 0.999) ?? 10) * power;
  const first = Math.ceil(low / step - 1e-9);
  const last = Math.floor(high / step + 1e-9);
  return Array.from({ length: last - first + 1 }, (_, index) =>
    Number(((first + index) * step).toPrecision(12)),
  );
}

/** Low and high of an axis a little wider than the values, from nought where nought is near. */
export function around(values: readonly number[], fromNought: boolean): readonly [number, number] {
  const high = Math.max(...values);
  const low = Math.min(...values);
  const room = Math.max((high - (fromNought ? 0 : low)) * 0.12, high * 1e-6, 1e-9);
  return [fromNought ? 0 : Math.max(0, low - room), high + room];
}

/**
 * Places for names that would lie at `wanted`, at least `gap` apart and between `least` and `most`, each as
 * near to its own place as that allows; the order of `wanted` is kept.
 */
export function spread(
  wanted: readonly number[],
  gap: number,
  least: number,
  most: number,
): readonly number[] {
  const order = wanted.map((_, index) => index).sort((a, b) => at(wanted, a) - at(wanted, b));
  const placed = [...wanted];
  let edge = least;
  for (const index of order) {
    placed[index] = Math.max(at(wanted, index), edge);
    edge = at(placed, index) + gap;
  }
  let ceiling = most;
  for (const index of order.toReversed()) {
    placed[index] = Math.min(at(placed, index), ceiling);
    ceiling = at(placed, index) - gap;
  }
  return placed;
}

function at(list: readonly number[], index: number): number {
  return list[index] ?? 0;
}

/** Share of a scale of tens, 0 at `low` and 1 at `high`; beyond them it stays at the end. */
export function tensShare(value: number, low: number, high: number): number {
  if (value <= low) return 0;
  return Math.min(1, Math.log10(value / low) / Math.log10(high / low));
}

export interface Shape {
  /** [mm from working length, mm wide], rising. */
  readonly points: readonly (readonly [number, number])[];
  readonly workingLength: number;
}

export interface Drawing {
  readonly pxPerMm: number;
  /** How much wider than long widths are drawn, a whole number. [] */
  readonly times: number;
  readonly axis: number;
  /** Depth in mm from the reference point to pixels. */
  readonly y: (depthMm: number) => number;
  readonly half: (widthMm: number) => number;
}

const TIMES_MOST = 12;

/** A canal's place in a drawing so high, its widths within `room` pixels. */
export function drawingOf(
  shape: Shape,
  widestMm: number,
  axis: number,
  top: number,
  height: number,
  room: number,
): Drawing {
  const pxPerMm = height / shape.workingLength;
  const widest = Math.max(widestMm, ...shape.points.map(([, width]) => width));
  const times = Math.max(1, Math.min(TIMES_MOST, Math.floor(room / (widest * pxPerMm))));
  return {
    pxPerMm,
    times,
    axis,
    y: (depthMm) => top + depthMm * pxPerMm,
    half: (widthMm) => (widthMm * pxPerMm * times) / 2,
  };
}

/** Outline of a canal, orifice to a rounded end, and the two walls alone. */
export function canalPath(shape: Shape, drawing: Drawing, closed: boolean): string {
  const side = (sign: 1 | -1): string[] =>
    shape.points.map(([from, width], index) => {
      const half = drawing.half(width);
      const end = drawing.y(shape.workingLength - from);
      return `${px(drawing.axis + sign * half)} ${px(index === 0 ? end - half * 0.6 : end)}`;
    });
  const end = `${px(drawing.axis)} ${px(drawing.y(shape.workingLength))}`;
  const turn = drawing.half(shape.points[0]?.[1] ?? 0);
  const corner = (sign: 1 | -1): string =>
    `${px(drawing.axis + sign * turn)} ${px(drawing.y(shape.workingLength))}`;
  const left = side(-1).reverse().join("L");
  const right = side(1);
  return `M${left}Q${corner(-1)} ${end}Q${corner(1)} ${right.join("L")}${closed ? "Z" : ""}`;
}

function px(value: number): number {
  return Math.round(value * 10) / 10;
}
