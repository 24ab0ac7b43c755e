/** What drove the spool over a run, cell by cell, as the model takes it: no gaps left. */
import { ABSENT, type Cells, hasValue, TAKEN } from './history.ts';

/** Forcing of the model over the run: gaps bridged, room filled forward then backward. */
export interface Forcing {
  readonly count: number;
  readonly lengthS: Float64Array;
  readonly endS: Float64Array;
  readonly airC: Float64Array;
  readonly roomGPerM3: Float64Array;
  readonly lidS: Float64Array;
  /** Humidity of the box's air as measured where it is taken from there, lid open or just shut, %RH; NaN elsewhere. */
  readonly takenRhPercent: Float64Array;
  /** Share of its heat shift that the humidity sensor has reached, cell by cell. */
  readonly heatShare: Float64Array;
  /** Pack temperature before the run, °C. */
  readonly beforeC: number;
  /** Mean humidity of the room as its sensor says, %RH; NaN without one. */
  readonly roomRhPercent: number;
}

export function buildForcing(
  cells: Cells,
  assumedRoomGPerM3: number,
  beforeC: number,
  reducedSaturation: (temperatureC: number) => number,
): Forcing {
  const count = cells.endS.length;
  const airC = bridge(cells.airC, cells.endS);
  const roomC = hold(cells.roomC);
  const roomG = hold(cells.roomGPerM3);
  let rhSum = 0;
  let rhCount = 0;
  for (let i = 0; i < count; i++)
    if (hasValue(roomG[i]!)) {
      rhSum += (100 * roomG[i]!) / reducedSaturation(roomC[i]!);
      rhCount++;
    } else roomG[i] = assumedRoomGPerM3;
  return {
    count,
    lengthS: Float64Array.from(cells.lengthS),
    endS: Float64Array.from(cells.endS),
    airC,
    roomGPerM3: roomG,
    lidS: Float64Array.from(cells.lidS),
    takenRhPercent: Float64Array.from(cells.rhPercent, (rh, i) =>
      cells.masked[i] === TAKEN && !cells.clipped[i] && hasValue(rh) ? rh : Number.NaN,
    ),
    heatShare: heatShares(airC, cells.lengthS),
    beforeC,
    roomRhPercent: rhCount > 0 ? rhSum / rhCount : Number.NaN,
  };
}

/** Hot hours shift a capacitive sensor by and by; above this it counts as hot, °C. */
const RH_HEAT_S = 6 * 3600;
const RH_HOT_C = 50;

function heatShares(airC: Float64Array, lengthS: readonly number[]): Float64Array {
  let share = 0;
  return airC.map((c, i) => {
    if (c > RH_HOT_C) share = 1 - (1 - share) * Math.exp(-lengthS[i]! / RH_HEAT_S);
    return share;
  });
}

/** So many cells of one length are joined. */
const JOINED = 3;
/** The newest cells keep their grain. */
const NEWEST = 2;

/**
 * The same forcing on half the cells, for the draws: eighty runs through the past cost more than the fit itself. Beside the
 * full grid, on ten runs at four looks each, no draw's mean moisture moved by more than 0.007 in ln (0.0024 as a rule), nor its
 * dry-at; in pairs 0.004, in fours no better for a tenth of the time.
 */
export function coarsen(forcing: Forcing): Forcing {
  const { lengthS, endS, airC, roomGPerM3, lidS, takenRhPercent, heatShare } = forcing;
  const rows: number[][] = [];
  const joins = (i: number, length: number): boolean =>
    i < forcing.count - NEWEST && lengthS[i] === length && lidS[i] === 0 && Number.isNaN(takenRhPercent[i]!);
  for (let i = 0; i < forcing.count; ) {
    const length = lengthS[i]!;
    let n = 1;
    if (joins(i, length)) while (n < JOINED && joins(i + n, length)) n++;
    const mean = (values: Float64Array): number => {
      let sum = 0;
      for (let k = i; k < i + n; k++) sum += values[k]!;
      return sum / n;
    };
    const last = i + n - 1;
    rows.push([
      n * length,
      endS[last]!,
      mean(airC),
      mean(roomGPerM3),
      lidS[last]!,
      takenRhPercent[last]!,
      heatShare[last]!,
    ]);
    i += n;
  }
  const column = (at: number): Float64Array => Float64Array.from(rows, (row) => row[at]!);
  return {
    ...forcing,
    count: rows.length,
    lengthS: column(0),
    endS: column(1),
    airC: column(2),
    roomGPerM3: column(3),
    lidS: column(4),
    takenRhPercent: column(5),
    heatShare: column(6),
  };
}

/** Straight lines over gaps; held at the ends. */
function bridge(values: readonly number[], at: readonly number[]): Float64Array {
  const out = Float64Array.from(values);
  let last = -1;
  for (let i = 0; i < out.length; i++) {
    if (!hasValue(out[i]!)) continue;
    if (last < 0) out.fill(out[i]!, 0, i);
    else
      for (let k = last + 1; k < i; k++)
        out[k] = out[last]! + ((out[i]! - out[last]!) * (at[k]! - at[last]!)) / (at[i]! - at[last]!);
    last = i;
  }
  if (last >= 0) out.fill(out[last]!, last + 1);
  return out;
}

/** The last value said, and before the first one the first. */
function hold(values: readonly number[]): Float64Array {
  const out = Float64Array.from(values);
  let last = ABSENT;
  for (let i = 0; i < out.length; i++)
    if (hasValue(out[i]!)) last = out[i]!;
    else out[i] = last;
  const first = values.find(hasValue) ?? ABSENT;
  for (let i = 0; i < out.length && !hasValue(out[i]!); i++) out[i] = first;
  return out;
}
