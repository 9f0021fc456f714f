/**
 * Where a canal lies in the picture: depths to pixels, tapers to outlines.
 *
 * Lengths are to scale from the reference point to working length, one scale for all canals of a
 * tooth. Widths are to scale among themselves and drawn wider by one factor that the picture names
 * (`widthFactor`), since a canal is some thirty times longer than it is wide.
 * Not here: what is in the canal (`bands.ts`), and any word.
 */

/** What the picture needs to know of a canal's form; null = unknown, drawn dashed. */
export interface CanalForm {
  readonly canal: string;
  readonly orificeUm: number | null;
  readonly workingLengthUm: number | null;
  readonly apicalSize: number | null;
  readonly taperUmPerMm: number | null;
  /** Deepest length known from anything on record (an instrument, a tip); 0 = none. [µm] */
  readonly knownToUm: number;
}

export interface Box {
  readonly width: number;
  readonly height: number;
}

export interface Placed {
  readonly canal: string;
  /** Column's left edge, width and axis. [px] */
  readonly left: number;
  readonly width: number;
  readonly axis: number;
  /** Depths as drawn, and the same in pixels from the reference point. [µm], [px] */
  readonly orificeUm: number;
  readonly endUm: number;
  readonly orificeY: number;
  readonly endY: number;
  /** Half widths of the canal at its orifice and at its end. [px] */
  readonly halfAtOrifice: number;
  readonly halfAtEnd: number;
  /** True where the figure drawn was not on record. */
  readonly orificeAssumed: boolean;
  readonly endAssumed: boolean;
  readonly widthAssumed: boolean;
}

export interface ToothPicture {
  readonly canals: readonly Placed[];
  readonly pxPerUm: number;
  /** How much wider than long the widths are drawn. [] */
  readonly widthFactor: number;
  /** Depth at the lower edge of the box. [µm] */
  readonly bottomUm: number;
}

/**
 * What is drawn where nothing is on record. Only the picture uses them, always dashed: they are
 * never shown as a figure, and no amount or time is computed from them.
 */
const DRAWN_LENGTH_UM = 20_000;
const DRAWN_ORIFICE_SHARE = 0.42;
const DRAWN_SIZE = 20;
const DRAWN_TAPER_UM_PER_MM = 40;
/** ISO 3630-1: a size is the diameter in hundredths of a millimetre. */
const UM_PER_SIZE = 10;
const UM_PER_MM = 1000;
const COLUMN_SHARE = 0.56;
const WIDTH_FACTOR_MAX = 8;
const HALF_WIDTH_MIN_PX = 3;

/**
 * Diameter of a canal at a depth, from its apical size and taper.
 *
 *     D(depth) = size + taper x (working length - depth)
 *
 * Lengths in µm, taper in µm per mm, answer in µm; below the end the diameter at the end.
 */
export function diameterUm(
  endUm: number,
  apicalSize: number,
  taperUmPerMm: number,
  depthUm: number,
): number {
  const above = Math.max(0, endUm - depthUm);
  return apicalSize * UM_PER_SIZE + (taperUmPerMm * above) / UM_PER_MM;
}

/** Depth down to which a canal is drawn, and whether that is on record. [µm] */
export function drawnEnd(form: CanalForm): { readonly um: number; readonly assumed: boolean } {
  if (form.workingLengthUm !== null) return { um: form.workingLengthUm, assumed: false };
  return { um: Math.max(DRAWN_LENGTH_UM, form.knownToUm), assumed: true };
}

function drawnOrifice(form: CanalForm, endUm: number, others: readonly CanalForm[]) {
  const own = form.orificeUm;
  if (own !== null && own < endUm) return { um: own, assumed: false };
  const known = others.map((other) => other.orificeUm).filter((um) => um !== null && um < endUm);
  const near = known.length > 0 ? Math.min(...(known as number[])) : endUm * DRAWN_ORIFICE_SHARE;
  return { um: Math.round(near), assumed: true };
}

/** All canals of a tooth side by side in a box, on one scale. */
export function toothPicture(forms: readonly CanalForm[], box: Box): ToothPicture {
  const ends = forms.map(drawnEnd);
  const bottomUm = Math.max(DRAWN_LENGTH_UM / 2, ...ends.map((end) => end.um));
  const pxPerUm = box.height / bottomUm;
  const width = forms.length > 0 ? box.width / forms.length : box.width;
  const drafts = forms.map((form, index) => {
    const end = ends[index] ?? { um: DRAWN_LENGTH_UM, assumed: true };
    const orifice = drawnOrifice(form, end.um, forms);
    const size = form.apicalSize ?? DRAWN_SIZE;
    const taper = form.taperUmPerMm ?? DRAWN_TAPER_UM_PER_MM;
    return {
      form,
      end,
      orifice,
      wideUm: diameterUm(end.um, size, taper, orifice.um),
      narrowUm: diameterUm(end.um, size, taper, end.um),
      assumed: form.apicalSize === null || form.taperUmPerMm === null,
    };
  });
  const widest = Math.max(1, ...drafts.map((draft) => draft.wideUm));
  const widthFactor = Math.max(
    1,
    Math.min(WIDTH_FACTOR_MAX, Math.floor((width * COLUMN_SHARE) / (widest * pxPerUm))),
  );
  const half = (um: number): number =>
    Math.min(width / 2 - 2, Math.max(HALF_WIDTH_MIN_PX, (um * pxPerUm * widthFactor) / 2));
  const canals = drafts.map(({ form, end, orifice, wideUm, narrowUm, assumed }, index) => ({
    canal: form.canal,
    left: index * width,
    width,
    axis: (index + 0.5) * width,
    orificeUm: orifice.um,
    endUm: end.um,
    orificeY: orifice.um * pxPerUm,
    endY: end.um * pxPerUm,
    halfAtOrifice: half(wideUm),
    halfAtEnd: half(narrowUm),
    orificeAssumed: orifice.assumed,
    endAssumed: end.assumed,
    widthAssumed: assumed,
  }));
  return { canals, pxPerUm, widthFactor, bottomUm };
}

/** Pixels below the reference point of a depth, kept inside the canal as drawn. */
export function yOf(picture: ToothPicture, placed: Placed, depthUm: number): number {
  const inside = Math.max(placed.orificeUm, Math.min(placed.endUm, depthUm));
  return inside * picture.pxPerUm;
}

/** Half width of a placed canal at a height in the picture. [px] */
export function halfAt(placed: Placed, y: number): number {
  const length = placed.endY - placed.orificeY;
  const share = length <= 0 ? 0 : Math.min(1, Math.max(0, (y - placed.orificeY) / length));
  return placed.halfAtOrifice + (placed.halfAtEnd - placed.halfAtOrifice) * share;
}

/** SVG path of the canal from orifice to end; the end is rounded, as an apex is. */
export function outlinePath(placed: Placed): string {
  const { axis, orificeY, endY, halfAtOrifice, halfAtEnd } = placed;
  const top = round(orificeY);
  const turn = round(Math.max(orificeY, endY - halfAtEnd));
  const [left, right] = [round(axis - halfAtOrifice), round(axis + halfAtOrifice)];
  const [leftEnd, rightEnd] = [round(axis - halfAtEnd), round(axis + halfAtEnd)];
  return (
    `M${left} ${top}L${leftEnd} ${turn}` +
    `Q${leftEnd} ${round(endY)} ${round(axis)} ${round(endY)}` +
    `Q${rightEnd} ${round(endY)} ${rightEnd} ${turn}L${right} ${top}Z`
  );
}

/** The two walls alone, left and right, to be stroked. */
export function wallsPath(placed: Placed): string {
  const { axis, orificeY, endY, halfAtOrifice, halfAtEnd } = placed;
  const turn = round(Math.max(orificeY, endY - halfAtEnd));
  const end = `${round(axis)} ${round(endY)}`;
  return (
    `M${round(axis - halfAtOrifice)} ${round(orificeY)}L${round(axis - halfAtEnd)} ${turn}` +
    `Q${round(axis - halfAtEnd)} ${round(endY)} ${end}` +
    `M${round(axis + halfAtOrifice)} ${round(orificeY)}L${round(axis + halfAtEnd)} ${turn}` +
    `Q${round(axis + halfAtEnd)} ${round(endY)} ${end}`
  );
}

/**
 * Outline of the chamber: from the reference point down to each canal's orifice, one floor that
 * rises between neighbours as a pulp floor does.
 */
export function chamberPath(picture: ToothPicture, width: number): string {
  const { canals } = picture;
  if (canals.length === 0) return `M0 0H${round(width)}V1H0Z`;
  const first = canals[0] as Placed;
  const last = canals[canals.length - 1] as Placed;
  let path = `M${round(first.axis - first.halfAtOrifice - 8)} 0`;
  path += `L${round(first.axis - first.halfAtOrifice)} ${round(first.orificeY)}`;
  canals.forEach((canal, index) => {
    path += `L${round(canal.axis + canal.halfAtOrifice)} ${round(canal.orificeY)}`;
    const next = canals[index + 1];
    if (next === undefined) return;
    const saddle = Math.min(canal.orificeY, next.orificeY) * 0.94;
    const middle = (canal.axis + canal.halfAtOrifice + next.axis - next.halfAtOrifice) / 2;
    path += `Q${round(middle)} ${round(saddle)} ${round(next.axis - next.halfAtOrifice)} ${round(next.orificeY)}`;
  });
  return `${path}L${round(last.axis + last.halfAtOrifice + 8)} 0Z`;
}

function round(px: number): number {
  return Math.round(px * 10) / 10;
}
