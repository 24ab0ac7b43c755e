/** A process that records a notice and sends it, to be killed in between. Real time, real disk, real sockets. */

import { writeSync } from 'node:fs';
import { join } from 'node:path';
import { topicBook } from '../../server/cli/notify-run.ts';
import { systemClock } from '../../server/clock.ts';
import type { ReceiverConfig } from '../../server/config/receivers.ts';
import { startNotifiers } from '../../server/notifiers/notifiers.ts';
import type { Notice } from '../../server/records.ts';
import { loadDatabaseEngine } from '../../server/storage/sqlite.ts';
import { openState } from '../../server/storage/state.ts';

const [folder = '', url = '', noticeJson = '', pause = ''] = process.argv.slice(2);
const clock = systemClock();
const state = openState({
  open: await loadDatabaseEngine(),
  path: join(folder, 'state.sqlite'),
  clock,
});
const say = (what: string): void => {
  writeSync(1, `${what}\n`);
};
const receiver: ReceiverConfig = {
  id: 'hook',
  kind: 'webhook',
  url: { from: 'bench', url },
  secret: null,
  leastPriority: 'low',
  kinds: ['news', 'alarm'],
  caPath: null,
};
const notifiers = startNotifiers({
  receivers: [receiver],
  clock,
  env: {},
  version: '0',
  topics: topicBook(state),
  simulated: () => false,
  onTurn: () => {},
  onStoreTrouble: (error) => say(String(error)),
  book: {
    ...state.notices,
    record(notices) {
      state.together(() => state.notices.record(notices));
      say('recorded');
      // Stands still here, before anything is sent, until it is killed.
      if (pause === 'before-sending') Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0);
    },
    judge(name, judged) {
      state.notices.judge(name, judged);
      say(judged.map(({ delivery }) => delivery.state).join());
    },
  },
});
if (noticeJson !== '') notifiers.tell([JSON.parse(noticeJson) as Notice]);
// Alive until it is killed.
clock.every(60_000, () => {});
