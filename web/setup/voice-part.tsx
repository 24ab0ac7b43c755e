/** What this browser does beside showing the page when an alarm calls. */
import { useSignal } from '@preact/signals';
import { canNotify, keepWishes, readWishes, ring } from '../alerts/browser-voice.ts';
import type { Wishes } from '../alerts/voice.ts';
import { VOICE } from '../words/alert-settings.ts';

export function VoicePart() {
  const wishes = useSignal(readWishes());
  const may = useSignal(canNotify());
  const change = (parts: Partial<Wishes>): void => {
    wishes.value = { ...wishes.value, ...parts };
    keepWishes(wishes.value);
  };
  const wishNotices = async (wanted: boolean): Promise<void> => {
    if (wanted && may.value === 'default') may.value = await Notification.requestPermission();
    change({ notices: wanted && may.value === 'granted' });
  };
  const why =
    may.value === 'insecure'
      ? VOICE.insecure
      : may.value === 'missing'
        ? VOICE.missing
        : may.value === 'denied'
          ? VOICE.refused
          : null;
  return (
    <section class="setup" aria-labelledby="voice">
      <h2 class="head" id="voice">
        {VOICE.head}
      </h2>
      <p class="soft">{VOICE.tell}</p>
      <p>
        <label class="tick">
          <input
            type="checkbox"
            checked={wishes.value.sound}
            onChange={(event) => {
              change({ sound: event.currentTarget.checked });
              // Browsers let a page sound only after a person has touched it; and so one hears what it is.
              if (event.currentTarget.checked) ring();
            }}
          />{' '}
          {VOICE.sound}
        </label>
      </p>
      <p>
        <label class="tick">
          <input
            type="checkbox"
            disabled={why !== null}
            checked={wishes.value.notices}
            aria-describedby={why === null ? undefined : 'voice-why'}
            onChange={(event) => void wishNotices(event.currentTarget.checked)}
          />{' '}
          {VOICE.notices}
        </label>
      </p>
      {why !== null && (
        <p class="soft" id="voice-why">
          {why}
        </p>
      )}
    </section>
  );
}
