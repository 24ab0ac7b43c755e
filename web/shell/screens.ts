/** The screens there are, in the order of their links. A new one is a row here and a name in words/shell.ts. */
import type { ComponentType } from 'preact';
import type { BenchState } from '../bench-state.ts';
import { PAGE, type ScreenName } from '../words/shell.ts';
import type { ScreenProps } from './screen-props.ts';

export interface ScreenModule {
  readonly Screen: ComponentType<ScreenProps>;
}

export interface ScreenRow {
  readonly name: ScreenName;
  /** The server answers it with the page; see server/api/pages.ts. */
  readonly path: string;
  /** Its code; a promise where it is fetched when first looked at. */
  readonly code: ScreenModule | (() => Promise<ScreenModule>);
  /** Reached by links from other screens, and not from the list of screens. */
  readonly unlisted?: true;
  /** What stands in the foot beside the safety note. */
  notes?(state: BenchState): readonly string[];
}

export const SCREENS: readonly ScreenRow[] = [
  {
    name: 'bench',
    path: '/',
    code: async () => ({ Screen: (await import('../bench-screen.tsx')).BenchScreen }),
    notes: (state) => [...(state.spool.value ? [PAGE.footSpool] : []), PAGE.foot],
  },
  {
    name: 'spools',
    path: '/spools',
    code: async () => ({ Screen: (await import('../spools/spools-screen.tsx')).SpoolsScreen }),
    notes: () => [PAGE.footSpool],
  },
  {
    name: 'jobs',
    path: '/jobs',
    code: () => import('../jobs/jobs-screen.tsx'),
    notes: () => [PAGE.footSpool],
  },
  {
    name: 'planner',
    path: '/planner',
    code: async () => ({ Screen: (await import('../planner/planner-screen.tsx')).PlannerScreen }),
    notes: () => [PAGE.footPlanner],
  },
  {
    name: 'setup',
    path: '/setup',
    code: () => import('../setup/setup-screen.tsx'),
  },
  {
    name: 'report',
    path: '/report',
    code: () => import('../report/report-screen.tsx'),
    unlisted: true,
  },
];

export const screenAt = (path: string): ScreenRow | null => SCREENS.find((row) => row.path === path) ?? null;
