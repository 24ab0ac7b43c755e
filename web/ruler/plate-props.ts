/** What the plate and its parts are given. */
import type { Format } from '../format.ts';
import type { LaneSpec } from './lane-spec.ts';
import type { Palette } from './palette.ts';
import type { PlateLayout } from './plate-layout.ts';
import type { Range } from './view.ts';

export interface PlateHandlers {
  read(atMs: number | null): void;
  pan(share: number): void;
  zoom(factor: number, aboutMs: number): void;
  zoomStep(direction: 'in' | 'out'): void;
  follow(): void;
}

export interface PlateProps {
  readonly upper: LaneSpec;
  readonly lower: LaneSpec;
  readonly range: Range;
  /** A job that runs: its time so far and what is left of it. */
  readonly window?: {
    readonly fromMs: number;
    readonly toMs: number;
    readonly name: string;
    readonly ends: string;
  };
  /** When a job may start that is asked about. */
  readonly start?: { readonly atMs: number; readonly label: string };
  /** Bench time, for words. */
  readonly clockMs: number;
  /** Where the upright stands: the same, but walking by whole pixels. */
  readonly nowMs: number;
  readonly cursorMs: number | null;
  readonly outerWidthPx: number;
  readonly palette: Palette;
  readonly format: Format;
  readonly on: PlateHandlers;
}

export interface Laid extends PlateProps {
  readonly layout: PlateLayout;
}
