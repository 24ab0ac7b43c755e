/** What a run keeps on the disk, opened together and closed together; one program to a data folder. */
import { join } from 'node:path';
import type { Clock } from '../clock.ts';
import { openAlertHistory } from '../storage/alert-history.ts';
import { openCapture } from '../storage/capture.ts';
import { openHistory } from '../storage/history.ts';
import { takeLock } from '../storage/lock.ts';
import { loadDatabaseEngine } from '../storage/sqlite.ts';
import { openState } from '../storage/state.ts';
import type { Log } from './log.ts';

/** Throws StorageError where the folder cannot be used, or another program has it. */
export async function openStores(folder: string, realClock: Clock, benchClock: Clock, log: Log) {
  const onNote = (sentence: string): void => log.warn(sentence);
  const open = await loadDatabaseEngine();
  const lock = takeLock(open, folder);
  const state = openState({ open, path: join(folder, 'state.sqlite'), clock: realClock, onNote });
  const history = openHistory({
    open,
    path: join(folder, 'history.sqlite'),
    // A story's readings are rolled up in the story's time.
    clock: benchClock,
    onNote,
    onTrouble: (trouble) => (trouble ? log.error(trouble.sentence) : log.info('History is written again.')),
  });
  const capture = openCapture({
    folder: join(folder, 'captures'),
    clock: realClock,
    onTrouble: (sentence) => (sentence ? log.error(sentence) : log.info('The capture is written again.')),
  });
  const alertHistory = openAlertHistory({
    open,
    path: join(folder, 'alerts.sqlite'),
    nowMs: () => realClock.now().wallMs,
    onNote,
  });
  return {
    state,
    history,
    capture,
    alertHistory,
    close(): void {
      alertHistory.close();
      history.close();
      capture.close();
      state.close();
      lock.release();
    },
  };
}
