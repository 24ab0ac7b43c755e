/**
 * What a lane is told to draw, as plain data: the lane knows nothing of stations, spools or estimators. Lines and bands
 * of readings and of a forecast are the same kind of thing; only their look differs.
 *
 * Grammar: solid is measured or estimated from readings, dashed not yet real, dotted a second and slower thing; a tint
 * is a band (two steps: 1 for p05–p95 and tolerances, 2 for p25–p75); a full hatch is out of reach; a broken hatch is
 * nothing heard.
 */
import type { Samples } from '../columns.ts';
import { withUnit } from '../format.ts';
import type { LaneScale } from './scale.ts';

export type Substance = 'water' | 'heat';

export interface LaneLine extends Samples {
  readonly look: 'solid' | 'dashed' | 'dotted';
  /** Said beside the line, and in the readout. */
  readonly name: string;
}

export interface LaneBand {
  readonly low: Samples;
  readonly high: Samples;
  readonly tint: 1 | 2;
}

export interface LaneMark {
  readonly value: number;
  readonly label: string;
  /** Left away where the lane is narrow. */
  readonly sub?: string;
}

/** When something is there: a bar on a line, a mark at the likeliest time. */
export interface Arrival {
  /** Where the bar lies on the axis. */
  readonly value: number;
  readonly mark: 'ring' | 'rails' | 'none';
  readonly words: 'above' | 'below';
  readonly fromMs: number;
  /** Null: not known, or never. */
  readonly ringMs: number | null;
  /** Null: open. */
  readonly toMs: number | null;
  readonly label: string;
  /** In its place where the ring lies off the ruler and only the bar's beginning is seen. */
  readonly fromLabel: string;
  readonly sub: string;
}

/** Two lines about where a value ends or is held, from a time on. */
export interface Rails {
  readonly fromMs: number;
  readonly low: number;
  readonly high: number;
  readonly label: string;
}

export interface LaneEvent {
  readonly atMs: number;
  /** Beside the mark; `sub` under it, left away where the lane is narrow. */
  readonly label: string;
  readonly sub: string;
}

/** A small mark at the lane's foot: an alarm, or a lid or door opened. */
export interface Happening {
  readonly atMs: number;
  /** Looked at from within this, it is read out. */
  readonly nearMs: number;
  readonly isAlarm: boolean;
  readonly words: string;
}

export interface LaneSpec {
  readonly id: 'upper' | 'lower';
  readonly title: string;
  readonly unit: string;
  /** Stands over the lane in place of the unit, where the axis needs more words. */
  readonly axisNote?: string;
  readonly substance: Substance;
  readonly scale: LaneScale;
  readonly lines: readonly LaneLine[];
  readonly bands: readonly LaneBand[];
  /** One line through the lane that matters: a limit to get under. */
  readonly limit?: LaneMark;
  /** Hatched below: what the present air allows no one to reach. */
  readonly floor?: LaneMark;
  /** A thin line that is no bound: where things drift to. */
  readonly level?: LaneMark;
  readonly arrival?: Arrival;
  readonly rails?: Rails;
  /** What happened, by time; drawn below the first line. */
  readonly events?: readonly LaneEvent[];
  /** By time; all within the span shown. */
  readonly happenings?: readonly Happening[];
  /** Said at the end of the limit's line, loudly. */
  readonly warning?: string;
  /** Hatched above: what must not be passed. */
  readonly ceiling?: LaneMark;
  /** The newest value, ringed, with its words. */
  readonly head: {
    readonly atMs: number;
    readonly value: number;
    readonly text: string;
    /** Its words stand above this value too: the upper edge of the band it lies in. */
    readonly clearOf?: number;
    /** A fan and rails begin here: its words keep to the left of them. */
    readonly besideFan?: boolean;
  } | null;
  /** Nothing heard from here to now, or to the end of the lane: broken hatch, its words, and no claim. */
  readonly silence: {
    readonly fromMs: number;
    readonly words: readonly string[];
    readonly toEnd?: boolean;
  } | null;
  /** Said in the lane where there is no line to draw. */
  readonly empty: string | null;
  /** What is known at a time besides the lines: said in the readout, not drawn. */
  readonly spoken?: (atMs: number) => readonly string[];
  /** How a value of this lane is written, without its unit. */
  readonly number: (value: number) => string;
}

export const sayValue = (lane: Pick<LaneSpec, 'number' | 'unit'>, value: number): string =>
  withUnit(lane.number(value), lane.unit);
