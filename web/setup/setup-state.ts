/** What Setup knows: the ports and what was heard on them, asked again while something is being listened to. */
import { type Signal, signal } from '@preact/signals';
import type { MaterialsAnswer, SetupState } from '../../server/api/messages-setup.ts';
import { askJson, postJson } from '../ask.ts';

export interface Setup {
  readonly state: Signal<SetupState | null>;
  readonly materials: Signal<MaterialsAnswer | null>;
  /** Why the last request did not come through; null: it did. */
  readonly trouble: Signal<string | null>;
  look(): Promise<void>;
  listen(path: string, columns?: readonly string[]): Promise<void>;
  /** Takes a port that was tried off the list. */
  forget(path: string): Promise<void>;
  stop(): void;
}

/** A port is listened to for some seconds; its lines are shown as they come. */
const LOOK_EVERY_MS = 700;

export function createSetup(): Setup {
  const state = signal<SetupState | null>(null);
  const materials = signal<MaterialsAnswer | null>(null);
  const trouble = signal<string | null>(null);
  let timer: ReturnType<typeof setTimeout> | undefined;
  let stopped = false;

  const look = async (): Promise<void> => {
    clearTimeout(timer);
    const answer = await askJson<SetupState>('/api/setup');
    if (stopped) return;
    trouble.value = answer.ok ? null : answer.sentence;
    if (answer.ok) state.value = answer.value;
    const listening = state.value?.ports.some(({ heard }) => heard?.state === 'listening');
    if (listening || !answer.ok) timer = setTimeout(() => void look(), LOOK_EVERY_MS);
  };
  void look();
  void askJson<MaterialsAnswer>('/api/materials').then((answer) => {
    if (answer.ok) materials.value = answer.value;
  });
  return {
    state,
    materials,
    trouble,
    look,
    async listen(path, columns) {
      const answer = await postJson('/api/setup/listen', { path, ...(columns ? { columns } : {}) });
      await look();
      if (!answer.ok) trouble.value = answer.sentence;
    },
    async forget(path) {
      const answer = await postJson('/api/setup/forget', { path });
      await look();
      if (!answer.ok) trouble.value = answer.sentence;
    },
    stop() {
      stopped = true;
      clearTimeout(timer);
    },
  };
}
