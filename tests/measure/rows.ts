/** The rows of the speed table that exist so far. */
import type { Measured } from './rounds.ts';
import { measureAir } from './row-air.ts';
import { measureDrying } from './row-drying.ts';
import { measureKernel } from './row-kernel.ts';
import { measureLine } from './row-line.ts';
import { measureLive } from './row-live.ts';
import { measurePage } from './row-page.ts';
import { measurePlan } from './row-plan.ts';
import { measureReplay } from './row-replay.ts';
import { measureServer } from './row-server.ts';
import { measureStore } from './row-store.ts';

export interface Row {
  readonly id: string;
  run(): Promise<readonly Measured[]>;
}

export const ROWS: readonly Row[] = [
  { id: 'line', run: measureLine },
  { id: 'air', run: measureAir },
  { id: 'kernel', run: measureKernel },
  { id: 'drying', run: measureDrying },
  { id: 'plan', run: measurePlan },
  { id: 'replay', run: measureReplay },
  { id: 'store', run: measureStore },
  { id: 'live', run: measureLive },
  { id: 'page', run: measurePage },
  { id: 'server', run: measureServer },
];
