/** The browser's side of calling out: three short tones, its notifications, and what a person asked for here. */
import { effect } from '@preact/signals';
import type { BenchState } from '../bench-state.ts';
import { createVoice, NO_WISHES, type Wishes } from './voice.ts';

const KEY = 'lowdew.voice';
const TONE_HZ = 880;
const TONE_S = 0.18;
const TONES = 3;

export function readWishes(): Wishes {
  try {
    const kept: unknown = JSON.parse(localStorage.getItem(KEY) ?? '{}');
    const { sound, notices } = kept as Partial<Wishes>;
    return { sound: sound === true, notices: notices === true && canNotify() === 'granted' };
  } catch {
    return NO_WISHES;
  }
}

export function keepWishes(wishes: Wishes): void {
  try {
    localStorage.setItem(KEY, JSON.stringify(wishes));
  } catch {
    // Private windows may refuse; it holds until the page is closed then.
  }
}

/** Browsers show notifications for pages from this machine and over HTTPS alone. */
export function canNotify(): 'insecure' | 'missing' | NotificationPermission {
  if (!isSecureContext) return 'insecure';
  return 'Notification' in globalThis ? Notification.permission : 'missing';
}

export function ring(): void {
  const audio = new AudioContext();
  for (let i = 0; i < TONES; i++) {
    const tone = audio.createOscillator();
    const volume = audio.createGain();
    const startS = audio.currentTime + 2 * i * TONE_S;
    volume.gain.value = 0.2;
    tone.frequency.value = TONE_HZ;
    tone.connect(volume).connect(audio.destination);
    tone.start(startS);
    tone.stop(startS + TONE_S);
    if (i === TONES - 1) tone.onended = () => void audio.close();
  }
}

/** Follows the bench's alerts for as long as the page lives. */
export function startVoice(state: BenchState, wishes: () => Wishes): void {
  const voice = createVoice({
    sound: ring,
    notice(title, body, tag) {
      if (canNotify() === 'granted') new Notification(title, { body, tag });
    },
  });
  let first = true;
  effect(() => {
    const alerts = state.bench.value?.alerts;
    if (!alerts) return;
    voice.hear(alerts, wishes(), first);
    first = false;
  });
}
