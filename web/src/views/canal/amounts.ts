/**
 * Amounts and times as a person at the chair reads them: a number, a space that does not break,
 * the unit. No trailing zeros, a leading zero, mL never cc, thousands with a comma.
 *
 * Source of the display rules: ISMP, List of Error-Prone Abbreviations, Symbols, and Dose
 * Designations; The Joint Commission, Official "Do Not Use" List.
 */

const NBSP = "\u00a0";
const MS_PER_S = 1000;
const S_PER_MIN = 60;
const S_PER_H = 3600;

/** A whole number of thousandths as a decimal without trailing zeros: 500 -> "0.5". */
export function thousandths(whole: number): string {
  const sign = whole < 0 ? "-" : "";
  const size = Math.abs(whole);
  const rest = String(size % 1000)
    .padStart(3, "0")
    .replace(/0+$/, "");
  const units = grouped(Math.floor(size / 1000));
  return sign + (rest === "" ? units : `${units}.${rest}`);
}

function grouped(whole: number): string {
  return String(whole).replace(/\B(?=(\d{3})+(?!\d))/g, ",");
}

/** Microlitres as mL: 500 -> "0.5 mL". */
export function volumeText(volumeUl: number): string {
  return `${thousandths(volumeUl)}${NBSP}mL`;
}

/** Micrometres as mm: 19500 -> "19.5 mm". */
export function depthText(um: number): string {
  return `${thousandths(um)}${NBSP}mm`;
}

/** Nanograms as mg, to a thousandth of a milligram, cut: 30_000_000 -> "30 mg". */
export function massText(ng: number): string {
  return `${thousandths(Math.floor(ng / 1000))}${NBSP}mg`;
}

/** mg/L as per cent weight in volume: 30000 -> "3 %"; an unknown strength says so. */
export function strengthText(mgPerL: number | null): string {
  if (mgPerL === null) return `?${NBSP}%`;
  const tenThousandths = mgPerL;
  const rest = String(tenThousandths % 10_000)
    .padStart(4, "0")
    .replace(/0+$/, "");
  const units = grouped(Math.floor(tenThousandths / 10_000));
  return `${rest === "" ? units : `${units}.${rest}`}${NBSP}%`;
}

/** Mean flow as mL/min to one decimal, or null where volume or time is unknown or time is 0. */
export function flowText(volumeUl: number | null, durationMs: number | null): string | null {
  if (volumeUl === null || durationMs === null || durationMs <= 0) return null;
  const tenths = Math.round((volumeUl * 600) / durationMs);
  return `${thousandths(tenths * 100)}${NBSP}mL/min`;
}

/**
 * What is left, rounded up to the whole second: 0:00 is shown at the due instant and not before,
 * and a time begins at its full length.
 */
export function remainingText(remainingMs: number): string {
  return clockText(Math.max(0, Math.ceil(remainingMs / MS_PER_S)));
}

/** What has passed, rounded down to the whole second. */
export function elapsedText(elapsedMs: number): string {
  return clockText(Math.max(0, Math.floor(elapsedMs / MS_PER_S)));
}

function clockText(seconds: number): string {
  const two = (part: number): string => String(part).padStart(2, "0");
  const rest = two(seconds % S_PER_MIN);
  if (seconds < S_PER_H) return `${Math.floor(seconds / S_PER_MIN)}:${rest}`;
  const minutes = Math.floor((seconds % S_PER_H) / S_PER_MIN);
  return `${Math.floor(seconds / S_PER_H)}:${two(minutes)}:${rest}`;
}

/** A length of time in words, rounded down to the whole second: "1 min 30 s", "45 s", "2 h 5 min". */
export function spanText(ms: number): string {
  const all = Math.max(0, Math.floor(ms / MS_PER_S));
  const [h, min, s] = [
    Math.floor(all / S_PER_H),
    Math.floor((all % S_PER_H) / S_PER_MIN),
    all % S_PER_MIN,
  ];
  const parts = [
    ...(h > 0 ? [`${grouped(h)}${NBSP}h`] : []),
    ...(min > 0 ? [`${min}${NBSP}min`] : []),
    ...(s > 0 || all === 0 ? [`${s}${NBSP}s`] : []),
  ];
  return parts.join(NBSP);
}

/** An instrument's size as it is spoken: 25 -> "25", 8 -> "08". */
export function sizeText(size: number): string {
  return String(size).padStart(2, "0");
}

/** Taper as per cent: 60 µm/mm -> "6 %". */
export function taperText(umPerMm: number): string {
  return `${thousandths(umPerMm * 100)}${NBSP}%`;
}

/** A canal's name on screen is upper case, but the joined ones keep their own: "mb1" -> "MB1". */
export function canalText(canal: string): string {
  return canal.toUpperCase();
}

/** A time of day in the clinic's zone, with seconds: "14:03:09". */
export function timeOfDayText(atMs: number, zone: string): string {
  return new Intl.DateTimeFormat("en-GB", {
    hour: "2-digit",
    minute: "2-digit",
    second: "2-digit",
    hour12: false,
    timeZone: zone,
  }).format(atMs);
}
