import { REPORT } from '../words/report.ts';

/** What can be done with a report; not on paper. */
export function Links({ csv, ruler }: { csv: string; ruler: string }) {
  return (
    <p class="line screen-only">
      <button type="button" onClick={() => print()}>
        {REPORT.print}
      </button>
      <a href={csv} download>
        {REPORT.table}
      </a>
      <a href={ruler}>{REPORT.ruler}</a>
    </p>
  );
}
