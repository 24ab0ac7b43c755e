/** "Why this number": what was assumed, what the data say about it, and what would sharpen it. */
import type { Drying } from '../server/api/messages.ts';
import type { BenchState } from './bench-state.ts';
import { age, fixed, range, roundAge } from './format.ts';
import { WHY } from './words.ts';

type Row = Drying['posterior'][number];

export function WhyBlock({ state }: { state: BenchState }) {
  const spool = state.spool.value;
  const drying = spool?.drying;
  if (!drying) return null;
  const readingsMs = drying.runStartMs === null ? null : drying.fittedMs - drying.runStartMs;
  return (
    <details class="why">
      <summary>
        {WHY.head} <span>{inShort(drying)}</span>
      </summary>
      <div class="cols">
        <div>
          <h3>{WHY.assumed}</h3>
          <ul>
            {drying.assumptions.map((said) => (
              <li key={said}>{said}</li>
            ))}
            {drying.notes.map((said) => (
              <li key={said}>
                <b>{said}</b>
              </li>
            ))}
          </ul>
        </div>
        <div>
          <h3>{WHY.data}</h3>
          {drying.posterior.length === 0 ? (
            <p class="soft">{WHY.noData}</p>
          ) : (
            <>
              <ul>
                {drying.posterior.map((row) => (
                  <Learned row={row} key={row.unknown} />
                ))}
              </ul>
              <p class="soft">{WHY.key(readingsMs === null ? age(0) : roundAge(readingsMs))}</p>
            </>
          )}
        </div>
        <div>
          <h3>{WHY.sharpen}</h3>
          {drying.sharpen.length === 0 ? (
            <p class="soft">{WHY.nothing}</p>
          ) : (
            <ul>
              {drying.sharpen.map((said) => (
                <li key={said}>{said}</li>
              ))}
            </ul>
          )}
        </div>
      </div>
    </details>
  );
}

/** The one line that stands while the rest is folded away: what the answer leans on unseen. */
export function inShort(drying: Drying): string {
  const silent = drying.posterior.filter((row) => !learned(row)).map((row) => row.label);
  return drying.notes[0] ?? (silent.length > 0 ? WHY.silent(silent) : (drying.assumptions[0] ?? ''));
}

const BAR_PX = { width: 150, height: 22, inset: 4 } as const;

/** Three figures at most: what is known to a factor two has no fourth. */
export function figure(value: number): string {
  const size = Math.abs(value);
  return fixed(value, size >= 100 ? 0 : size >= 10 ? 1 : size >= 1 ? 1 : 2);
}

/** How much narrower the band has become, in whole per cent; of a factor, on the scale of factors. */
export function narrowedPercent(row: Row): number {
  const spread = ({ p05, p95 }: Row['now']): number => (isFactor(row) ? Math.log(p95 / p05) : p95 - p05);
  return Math.round(100 * (1 - spread(row.now) / spread(row.prior)));
}

/** Positive all over: drawn and compared by ratio. */
const isFactor = (row: Row): boolean => row.prior.p05 > 0 && row.now.p05 > 0;

/** Narrowed by less than this, and moved by less than a fifth of its prior: nothing was learned. */
const LEAST_NARROWED_PERCENT = 5;

function learned(row: Row): boolean {
  const moved = Math.abs(row.now.p50 - row.prior.p50) > 0.2 * (row.prior.p95 - row.prior.p05);
  return moved || narrowedPercent(row) >= LEAST_NARROWED_PERCENT;
}

export function sayLearned(row: Row): string {
  const unit = row.unit === '×' ? '' : `\u00a0${row.unit}`;
  const factor = row.unit === '×' ? '×\u00a0' : '';
  const figures = (band: Row['now']): string =>
    band.p05 < 0 || band.p95 < 0 ? range(band.p05, band.p95, 1) : `${figure(band.p05)}–${figure(band.p95)}`;
  const now = WHY.now(`${factor}${figure(row.now.p50)}`, figures(row.now), unit);
  if (!learned(row)) return `${now}, ${WHY.unchanged}`;
  return `${now}, ${WHY.was(figure(row.prior.p50), figures(row.prior))}`;
}

function Learned({ row }: { row: Row }) {
  const place = isFactor(row) ? Math.log : (value: number) => value;
  const ends = [row.prior.p05, row.prior.p95, row.now.p05, row.now.p95].map(place);
  const [low, high] = [Math.min(...ends), Math.max(...ends)];
  const x = (value: number): number =>
    BAR_PX.inset + ((BAR_PX.width - 2 * BAR_PX.inset) * (place(value) - low)) / Math.max(1e-9, high - low);
  const bar = (band: Row['now'], y: number, look: string) => (
    <>
      <rect class={look} x={x(band.p05)} y={y} width={Math.max(1, x(band.p95) - x(band.p05))} height={6} />
      <line class={`${look} middle`} x1={x(band.p50)} x2={x(band.p50)} y1={y - 1.5} y2={y + 7.5} />
    </>
  );
  return (
    <li class="pp">
      <span>
        <b>{row.label}</b>
        <em>{sayLearned(row)}</em>
      </span>
      <svg width={BAR_PX.width} height={BAR_PX.height} aria-hidden="true">
        {bar(row.prior, 4, 'before')}
        {bar(row.now, 13, 'after')}
      </svg>
    </li>
  );
}
