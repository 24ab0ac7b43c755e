/** What a screen is given: the bench as it stands, a way to ask and tell the server, and its own address. */
import type { BenchState } from '../bench-state.ts';
import type { PostEntry } from '../entries.ts';
import type { Route } from './route.ts';

export interface ScreenProps {
  readonly state: BenchState;
  readonly post: PostEntry;
  readonly route: Route;
}
