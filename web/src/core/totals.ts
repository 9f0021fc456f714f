/**
 * What each canal really had, as of an instant: contact by depth, fresh, activated. Counts only what the
 * record holds. Volumes are in volumes.ts.
 */

import { lengthMs, longestMs, overlap, union } from "./intervals.ts";
import { ms, UM_PER_MM, um } from "./quantities.ts";
import type {
  Canal,
  CarriedRow,
  DepthRow,
  Headline,
  Interval,
  MilligramsPerLitre,
  Milliseconds,
  Slice,
  Stay,
  Totals,
  VisitRecord,
} from "./types.ts";
import { measuredSharePct, toothVolumes, volumes } from "./volumes.ts";

type Strength = MilligramsPerLitre | null;

/** The part of a canal that `last_3mm` looks at, up from working length. [µm] */
const APICAL_UM = 3 * UM_PER_MM;

/** The figures of a visit; open contact runs to `asOfMs`, or once closed to the last clinical event. */
export function totals(record: VisitRecord, asOfMs: Milliseconds): Totals {
  const openUntilMs = record.closed_at_ms === null ? asOfMs : (record.last_clinical_ms ?? asOfMs);
  const until = { asOfMs, openUntilMs: Math.min(asOfMs, openUntilMs) };
  const irrigants = irrigantsOf(record);
  const perCanal = record.canals.map((canal) => {
    const bands = bandsOf(record.slices, canal, until);
    const deeper = bandsOf(record.carried, canal, until);
    return irrigants.map((irrigant) => ({
      depths: depthRows(canal.canal, irrigant, bands),
      carried: carriedRows(canal.canal, irrigant, deeper),
      headline: headline(canal, irrigant, bands),
    }));
  });
  const rows = perCanal.flat();
  const bySite = volumes(record);
  return {
    as_of_ms: asOfMs,
    depths: rows.flatMap((row) => row.depths),
    carried: rows.flatMap((row) => row.carried),
    headlines: rows.flatMap((row) => row.headline ?? []),
    volumes: bySite,
    tooth: toothVolumes(bySite),
    measured_share_pct: measuredSharePct(record),
    dressings: record.dressings,
  };
}

/** Every irrigant on record in the order of first appearance. */
function irrigantsOf(record: VisitRecord): string[] {
  const leftIn = record.opened?.present_at_start ?? [];
  const contents = [...leftIn, ...record.deliveries].flatMap((one) => one.contents);
  return [...new Set(contents.map((component) => component.irrigant))];
}

/** A stretch of depth: its stays up to now and when it was activated. */
interface Band {
  readonly fromUm: number;
  readonly toUm: number;
  /** Counted in another canal, beyond a junction. */
  readonly isShared: boolean;
  readonly stays: readonly Lasted[];
  readonly active: readonly Interval[];
}

interface Lasted {
  readonly stay: Stay;
  readonly span: Interval;
  readonly fresh: readonly Interval[];
}

interface Until {
  readonly asOfMs: number;
  readonly openUntilMs: number;
}

function bandsOf(slices: readonly Slice[], canal: Canal, until: Until): Band[] {
  return slices
    .filter((slice) => slice.site === canal.canal)
    .map((slice) => ({
      fromUm: slice.from_um,
      toUm: slice.to_um ?? Number.POSITIVE_INFINITY,
      isShared: slice.shared_with !== null,
      stays: slice.stays.flatMap((stay) => lasted(stay, until)),
      active: slice.active.map(([start, end]): Interval => [start, Math.min(end, until.asOfMs)]),
    }));
}

function lasted(stay: Stay, { asOfMs, openUntilMs }: Until): Lasted[] {
  const endMs = stay.end_ms === null ? openUntilMs : Math.min(stay.end_ms, asOfMs);
  if (stay.dressing || endMs <= stay.start_ms) return [];
  const span: Interval = [stay.start_ms, endMs];
  return [{ stay, span, fresh: overlap([span], stay.fresh) }];
}

interface Times {
  readonly contact: readonly Interval[];
  readonly fresh: readonly Interval[];
  readonly activated: readonly Interval[];
}

/** The times of one irrigant in a band, at one strength or at all together. */
function timesOf(band: Band, irrigant: string, strength?: Strength): Times {
  const stays = band.stays.filter(({ stay }) =>
    stay.contents.some(
      (one) =>
        one.irrigant === irrigant &&
        (strength === undefined || one.concentration_mg_per_l === strength),
    ),
  );
  const contact = union(stays.map(({ span }) => span));
  const fresh = union(stays.flatMap((lasted) => lasted.fresh));
  return { contact, fresh, activated: overlap(contact, band.active) };
}

function depthRows(site: string, irrigant: string, bands: readonly Band[]): DepthRow[] {
  return merged(rowsOf(site, irrigant, bands), saysTheSame);
}

function carriedRows(site: string, irrigant: string, bands: readonly Band[]): CarriedRow[] {
  const rows = rowsOf(site, irrigant, bands).map(asCarried);
  return merged(rows, (a, b) => a.carried_ms === b.carried_ms);
}

/** One row for every band that ever held the irrigant, strength after strength. */
function rowsOf(site: string, irrigant: string, bands: readonly Band[]): DepthRow[] {
  const strengths = bands
    .flatMap((band) => band.stays)
    .flatMap(({ stay }) => stay.contents)
    .filter((component) => component.irrigant === irrigant)
    .map((component) => component.concentration_mg_per_l);
  return [...new Set(strengths)].flatMap((strength) => {
    const own = bands.filter((band) => !band.isShared);
    const rows = own.map((band): DepthRow => {
      const { contact, fresh, activated } = timesOf(band, irrigant, strength);
      return {
        site,
        from_um: um(band.fromUm),
        to_um: band.toUm === Number.POSITIVE_INFINITY ? null : um(band.toUm),
        irrigant,
        concentration_mg_per_l: strength,
        contact_ms: ms(lengthMs(contact)),
        fresh_ms: ms(lengthMs(fresh)),
        activated_ms: ms(lengthMs(activated)),
      };
    });
    return rows.filter((row) => row.contact_ms > 0);
  });
}

function asCarried({ contact_ms: carried_ms, ...row }: DepthRow): CarriedRow {
  const { site, from_um, to_um, irrigant, concentration_mg_per_l } = row;
  return { site, from_um, to_um, irrigant, concentration_mg_per_l, carried_ms };
}

type Stretched = Pick<DepthRow, "from_um" | "to_um" | "concentration_mg_per_l">;

/** Neighbours of one strength that touch and say the same become one. */
function merged<Row extends Stretched>(
  rows: readonly Row[],
  same: (above: Row, below: Row) => boolean,
): Row[] {
  const kept: Row[] = [];
  for (const row of rows) {
    const above = kept.at(-1);
    if (above !== undefined && touches(above, row) && same(above, row)) {
      kept[kept.length - 1] = { ...above, to_um: row.to_um };
    } else {
      kept.push(row);
    }
  }
  return kept;
}

function touches(above: Stretched, below: Stretched): boolean {
  const isOneStrength = above.concentration_mg_per_l === below.concentration_mg_per_l;
  return isOneStrength && above.to_um === below.from_um;
}

function saysTheSame(a: DepthRow, b: DepthRow): boolean {
  return (
    a.contact_ms === b.contact_ms && a.fresh_ms === b.fresh_ms && a.activated_ms === b.activated_ms
  );
}

function headline(canal: Canal, irrigant: string, bands: readonly Band[]): Headline | null {
  const times = bands.map((band) => ({ band, ...timesOf(band, irrigant) }));
  const anywhereMs = lengthMs(times.flatMap((one) => one.contact));
  if (anywhereMs === 0) return null;
  const orificeUm = canal.orifice_um ?? 0;
  const atOrifice = times.find(({ band }) => band.fromUm <= orificeUm && orificeUm < band.toUm);
  const byBand = times.map(({ band, contact }) => ({ band, contactMs: lengthMs(contact) }));
  return {
    site: canal.canal,
    irrigant,
    anywhere_ms: ms(anywhereMs),
    orifice_ms: ms(lengthMs(atOrifice?.contact ?? [])),
    ...apical(canal, byBand),
    longest_run_ms: ms(Math.max(...times.map(({ contact }) => longestMs(contact)))),
    fresh_ms: ms(lengthMs(times.flatMap((one) => one.fresh))),
    activated_ms: ms(lengthMs(times.flatMap((one) => one.activated))),
  };
}

type Apical = Pick<Headline, "last_3mm_least_ms" | "last_3mm_mean_ms">;

/**
 * Least and mean contact over the last 3 mm, the mean weighted by length and rounded down:
 *
 *     mean = sum(contact_i x length_i) / sum(length_i)
 *
 * Both null while the working length is unknown or not below the orifice.
 */
function apical(
  canal: Canal,
  bands: readonly { readonly band: Band; readonly contactMs: number }[],
): Apical {
  const bottomUm = canal.working_length_um;
  const topUm = Math.max((bottomUm ?? 0) - APICAL_UM, canal.orifice_um ?? 0);
  if (bottomUm === null || topUm >= bottomUm) {
    return { last_3mm_least_ms: null, last_3mm_mean_ms: null };
  }
  const parts = bands
    .map(({ band, contactMs }) => ({
      lengthUm: Math.min(band.toUm, bottomUm) - Math.max(band.fromUm, topUm),
      contactMs,
    }))
    .filter((part) => part.lengthUm > 0);
  const covered = parts.reduce((sum, part) => sum + part.lengthUm, 0);
  const leastMs = Math.min(...parts.map((part) => part.contactMs));
  const weighted = parts.reduce(
    (sum, part) => sum + BigInt(part.contactMs) * BigInt(part.lengthUm),
    0n,
  );
  return {
    last_3mm_least_ms: ms(covered < bottomUm - topUm ? 0 : leastMs),
    last_3mm_mean_ms: ms(Number(weighted / BigInt(bottomUm - topUm))),
  };
}
