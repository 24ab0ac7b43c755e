/** The whole page: what is simulated, the way to the screens, the screen, and what it must not be taken for. */
import { AlertBanner } from '../alerts/alert-banner.tsx';
import { PAGE, SIMULATED } from '../words/shell.ts';
import { isPlainClick } from './route.ts';
import { ScreenLinks } from './screen-links.tsx';
import { ScreenPlace } from './screen-place.tsx';
import type { ScreenProps } from './screen-props.ts';
import { screenAt } from './screens.ts';

export function Page(props: ScreenProps) {
  const { state, route } = props;
  const bench = state.bench.value;
  const notes = screenAt(route.place.value.path)?.notes?.(state) ?? [];
  return (
    <>
      <SimulatedStrip {...props} />
      <AlertBanner state={state} />
      <div class="sheet">
        <header class="top">
          <span class="mark">{PAGE.name}</span>
          <ScreenLinks route={route} />
          {bench && <span class="where">{state.format.value.dayAndClock(state.nowMs.value)}</span>}
        </header>
        <ScreenPlace {...props} />
        <footer class="foot">
          <p>
            {notes.map((note) => (
              <span class="note" key={note}>
                {note}
              </span>
            ))}
            {PAGE.safety}
          </p>
          {bench && <p>{PAGE.version(bench.version)}</p>}
        </footer>
      </div>
    </>
  );
}

const SETUP_PATH = '/setup';

/** Dashed, like everything that is not real; on every screen, and it stays in sight. */
function SimulatedStrip({ state, route }: ScreenProps) {
  const simulated = state.bench.value?.simulated;
  if (!simulated) return null;
  return (
    <aside class="sim" aria-label={SIMULATED.label}>
      <div>
        <b>{SIMULATED.word}</b>
        <span>{SIMULATED.tell(simulated.scenario, String(simulated.speed))}</span>
        {route.place.value.path !== SETUP_PATH && (
          <a
            href={SETUP_PATH}
            onClick={(event) => {
              if (!isPlainClick(event)) return;
              event.preventDefault();
              route.go(SETUP_PATH);
            }}
          >
            {SIMULATED.own}
          </a>
        )}
      </div>
    </aside>
  );
}
