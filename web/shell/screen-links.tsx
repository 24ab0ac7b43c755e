import { SCREEN_NAMES, SHELL } from '../words/shell.ts';
import { isPlainClick, type Route } from './route.ts';
import { SCREENS } from './screens.ts';

/** Links to the screens; the one looked at is bold and underlined, and said to be current. */
export function ScreenLinks({ route }: { route: Route }) {
  const { path } = route.place.value;
  return (
    <nav aria-label={SHELL.screens}>
      <ul>
        {SCREENS.filter(({ unlisted }) => !unlisted).map((row) => (
          <li key={row.path}>
            <a
              href={row.path}
              {...(row.path === path ? { 'aria-current': 'page' as const } : {})}
              onClick={(event) => {
                if (!isPlainClick(event)) return;
                event.preventDefault();
                if (row.path !== path) route.go(row.path);
              }}
            >
              {SCREEN_NAMES[row.name]}
            </a>
          </li>
        ))}
      </ul>
    </nav>
  );
}
