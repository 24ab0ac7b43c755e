/** The notifiers over a real state file, on a false clock, with receivers as a bench file names them. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';
import { topicBook } from '../../server/cli/notify-run.ts';
import { type FalseClock, falseClock } from '../../server/clock.ts';
import { readBench } from '../../server/config/read-bench.ts';
import { startNotifiers } from '../../server/notifiers/notifiers.ts';
import { loadDatabaseEngine } from '../../server/storage/sqlite.ts';
import { openState } from '../../server/storage/state.ts';
import { happenings } from './events.ts';
import { STORY_MS } from './notices.ts';

const open = await loadDatabaseEngine();

export function ownFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'lowdew-notify-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

export function receiversOf(text: string) {
  const reading = readBench(`[[station]]\nid = "box"\nrole = "drybox"\n${text}`, null, {
    materials: [],
    things: [],
  });
  if (!reading.ok) throw new Error(JSON.stringify(reading.mistakes));
  return reading.bench.receivers;
}

export const webhook = (url: string, more = '', id = 'hook'): string =>
  `[[receiver]]\nid = "${id}"\nkind = "webhook"\nurl = "${url}"\n${more}\n`;
export const email = (port: number, more = '', id = 'post'): string =>
  `[[receiver]]\nid = "${id}"\nkind = "email"\nhost = "127.0.0.1"\nport = ${port}\nfrom = "bench@example.org"\nto = "me@example.org"\n${more}\n`;
export const broker = (url: string, more = '', id = 'broker'): string =>
  `[[receiver]]\nid = "${id}"\nkind = "mqtt"\nurl = "${url}"\n${more}\n`;

export function startTelling(
  benchText: string,
  {
    folder = ownFolder(),
    clock = falseClock(STORY_MS),
    env = {},
  }: { folder?: string; clock?: FalseClock; env?: Record<string, string> } = {},
) {
  const state = openState({ open, path: join(folder, 'state.sqlite'), clock });
  const turns: string[] = [];
  const judged = happenings<{ receiver: string; states: readonly string[]; tries: number }>();
  const receivers = receiversOf(benchText);
  const notifiers = startNotifiers({
    receivers,
    clock,
    env,
    version: '0.1.0-test',
    book: {
      ...state.notices,
      record: (notices) => state.together(() => state.notices.record(notices)),
      judge(receiver, list) {
        state.notices.judge(receiver, list);
        judged.push({
          receiver,
          states: list.map(({ delivery }) => delivery.state),
          tries: list[0]?.delivery.tries ?? 0,
        });
      },
    },
    topics: topicBook(state),
    simulated: () => false,
    onTurn: (receiver, answer) =>
      turns.push(`${receiver} ${answer.outcome === 'taken' ? 'taken' : answer.code}: ${answer.words}`),
    onStoreTrouble: (error) => {
      throw error;
    },
  });
  let isClosed = false;
  const close = async (): Promise<void> => {
    if (isClosed) return;
    isClosed = true;
    await notifiers.close();
    state.close();
  };
  onTestFinished(close);
  return {
    clock,
    folder,
    state,
    notifiers,
    judged,
    turns,
    close,
    one: (id: string) => notifiers.states(50).find((receiver) => receiver.id === id),
  };
}
