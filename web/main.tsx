/** Starts the page. */
import './locale-guard.ts';
import { render } from 'preact';
import 'uplot/dist/uPlot.min.css';
import './style/app.css';
import { readWishes, startVoice } from './alerts/browser-voice.ts';
import { startFeed } from './bench-feed.ts';
import { createBenchState } from './bench-state.ts';
import { browserWorld, postEntry } from './browser-world.ts';
import { readPreferences } from './preferences.ts';
import { spanIn } from './ruler/view.ts';
import { Page } from './shell/page.tsx';
import { browserRoute } from './shell/route.ts';

const TICK_MS = 1000;

const root = document.getElementById('page');
if (root) {
  const state = createBenchState();
  state.preferences.value = readPreferences();
  const route = browserRoute();
  const span = spanIn(route.place.value.query);
  if (span) state.view.value = span;
  startVoice(state, readWishes);
  const feed = startFeed(browserWorld(), state);
  setInterval(() => {
    if (!document.hidden) feed.tick();
  }, TICK_MS);
  document.addEventListener('visibilitychange', () => {
    if (!document.hidden) feed.wake();
  });
  addEventListener('online', () => feed.wake());
  addEventListener('pageshow', () => feed.wake());
  root.textContent = '';
  render(<Page state={state} post={postEntry} route={route} />, root);
}
