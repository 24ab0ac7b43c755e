/** Ports that are there, and what is heard on them. */
import { useSignal } from '@preact/signals';
import type { HeardWire } from '../../server/api/messages-setup.ts';
import { PORTS } from '../words/setup.ts';
import type { Setup } from './setup-state.ts';

export function PortsPart({ setup }: { setup: Setup }) {
  const typed = useSignal('');
  const state = setup.state.value;
  if (!state) return null;
  return (
    <section class="setup" aria-labelledby="ports">
      <h2 class="head" id="ports">
        {PORTS.head}
      </h2>
      <p class="soft">{PORTS.caution}</p>
      {state.portsNote && <p class="soft">{state.portsNote}</p>}
      {state.ports.length === 0 && <p>{PORTS.none}</p>}
      <ul class="ports">
        {state.ports.map(({ path, lastingPath, manufacturer, heard }) => (
          <li key={path}>
            <div class="line">
              <b>{path}</b>
              <span class="soft">{[manufacturer, lastingPath].filter(Boolean).join(', ')}</span>
              <button
                type="button"
                disabled={heard?.state === 'listening'}
                aria-label={PORTS.listenTo(path)}
                onClick={() => void setup.listen(path)}
              >
                {PORTS.listen}
              </button>
              {heard && heard.state !== 'listening' && (
                <button
                  type="button"
                  aria-label={PORTS.forgetOf(path)}
                  onClick={() => void setup.forget(path)}
                >
                  {PORTS.forget}
                </button>
              )}
            </div>
            {heard && <Heard path={path} heard={heard} setup={setup} />}
          </li>
        ))}
      </ul>
      <form
        class="line"
        onSubmit={(event) => {
          event.preventDefault();
          const path = typed.value.trim();
          if (path !== '') void setup.listen(path);
        }}
      >
        <label for="other-port">{PORTS.other}</label>
        <input
          id="other-port"
          autoComplete="off"
          spellcheck={false}
          placeholder={PORTS.otherHint}
          value={typed.value}
          onInput={(event) => {
            typed.value = event.currentTarget.value;
          }}
        />
        <button type="submit">{PORTS.listen}</button>
        <button type="button" onClick={() => void setup.look()}>
          {PORTS.look}
        </button>
      </form>
      <p role="status" class="wrong">
        {setup.trouble.value ?? ''}
      </p>
    </section>
  );
}

function Heard({ path, heard, setup }: { path: string; heard: HeardWire; setup: Setup }) {
  const columns = useSignal(heard.columns.map(({ key }) => key).join(','));
  return (
    <div class="heard">
      <p role="status">
        {heard.state === 'listening' && PORTS.listening(heard.baud)}
        {heard.state === 'heard' && PORTS.heard(heard.baud)}
        {heard.sentences.map((sentence) => (
          <span class={heard.state === 'heard' ? 'soft' : ''} key={sentence}>
            {' '}
            {sentence}
          </span>
        ))}
      </p>
      {heard.lines.length > 0 && (
        // Long lines scroll in their own box, which a keyboard must be able to reach.
        // biome-ignore lint/a11y/noNoninteractiveTabindex: a scrolling region needs focus
        <section class="spoken" tabIndex={0} aria-label={PORTS.spoken}>
          <pre>{heard.lines.join('\n')}</pre>
        </section>
      )}
      {heard.columns.length > 0 && (
        <>
          <ul class="soft">
            {heard.columns.map(({ key, sample, why }, i) => (
              <li key={`${i} ${key}`}>{PORTS.taken(key, sample, why)}</li>
            ))}
          </ul>
          <form
            class="line"
            onSubmit={(event) => {
              event.preventDefault();
              void setup.listen(
                path,
                columns.value.split(',').map((key) => key.trim()),
              );
            }}
          >
            <label for={`columns ${path}`}>{PORTS.correct}</label>
            <input
              id={`columns ${path}`}
              autoComplete="off"
              spellcheck={false}
              placeholder={PORTS.correctHint}
              value={columns.value}
              onInput={(event) => {
                columns.value = event.currentTarget.value;
              }}
            />
            <button type="submit">{PORTS.apply}</button>
          </form>
        </>
      )}
    </div>
  );
}
