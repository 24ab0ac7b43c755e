/** What a lane and its parts are given. */
import type { LaneSpec } from './lane-spec.ts';
import type { Palette } from './palette.ts';
import type { Range } from './view.ts';

export interface LaneProps {
  readonly spec: LaneSpec;
  readonly range: Range;
  readonly nowMs: number;
  readonly topPx: number;
  readonly leftPx: number;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly narrow: boolean;
  readonly palette: Palette;
}
