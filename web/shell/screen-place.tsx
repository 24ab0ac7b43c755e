/** Shows the screen of the present address; fetches its code where it is not there yet. */
import { useSignal } from '@preact/signals';
import { useEffect, useLayoutEffect, useRef } from 'preact/hooks';
import { SCREEN_NAMES, SHELL } from '../words/shell.ts';
import type { ScreenProps } from './screen-props.ts';
import { type ScreenModule, type ScreenRow, screenAt } from './screens.ts';
import { useTitle } from './title.ts';

/** Kept for the life of the page: a screen seen once is there at once. */
const fetched = new Map<string, ScreenModule>();
const codeOf = (row: ScreenRow): ScreenModule | null =>
  typeof row.code === 'function' ? (fetched.get(row.path) ?? null) : row.code;

export function ScreenPlace(props: ScreenProps) {
  const { path } = props.route.place.value;
  const row = screenAt(path);
  const main = useRef<HTMLElement>(null);
  const shownPath = useRef(path);
  // A new screen begins at its top, and the keyboard goes on from there.
  useLayoutEffect(() => {
    if (shownPath.current === path) return;
    shownPath.current = path;
    scrollTo(0, 0);
    main.current?.focus({ preventScroll: true });
  }, [path]);
  return (
    <main ref={main} tabIndex={-1} aria-label={row ? SCREEN_NAMES[row.name] : SHELL.nowhere}>
      {row ? <Loaded row={row} {...props} key={row.path} /> : <Told {...props} words={SHELL.nothingHere} />}
    </main>
  );
}

function Loaded({ row, ...props }: ScreenProps & { row: ScreenRow }) {
  const module = useSignal(codeOf(row));
  const failed = useSignal(false);
  useEffect(() => {
    if (module.value !== null || typeof row.code !== 'function') return;
    row.code().then(
      (code) => {
        fetched.set(row.path, code);
        module.value = code;
      },
      () => {
        failed.value = true;
      },
    );
  }, [row, module, failed]);
  if (module.value) {
    const { Screen } = module.value;
    return <Screen {...props} />;
  }
  if (!failed.value) return null;
  // A browser remembers that a script has failed; only a reload asks for it again.
  return <Told {...props} words={SHELL.notArrived} again={() => location.reload()} />;
}

function Told(
  props: ScreenProps & { words: { readonly head: string; readonly tell: string }; again?: () => void },
) {
  const { state, words, again } = props;
  useTitle(state, SHELL.nowhere, words.head);
  return (
    <div class="answer">
      <h1>{words.head}</h1>
      <p class="tell">{words.tell}</p>
      {again && (
        <button type="button" onClick={again}>
          {SHELL.again}
        </button>
      )}
    </div>
  );
}
