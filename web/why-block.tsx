/** "Why this number": what was assumed, what the data say about it, and what would sharpen it. */
import { useEffect, useRef } from 'preact/hooks';
import type { BenchState } from './bench-state.ts';
import { age, roundAge } from './format.ts';
import { inShort, isFactor, type Row, sayLearned } from './why-words.ts';
import { WHY } from './words/spool.ts';

export function WhyBlock({ state }: { state: BenchState }) {
  const spool = state.spool.value;
  const drying = spool?.drying;
  const folded = useRef<HTMLDetailsElement>(null);
  // What is printed can be opened no more.
  useEffect(() => {
    const open = (): void => folded.current?.setAttribute('open', '');
    addEventListener('beforeprint', open);
    return () => removeEventListener('beforeprint', open);
  }, []);
  if (!drying) return null;
  const readingsMs = drying.runStartMs === null ? null : drying.fittedMs - drying.runStartMs;
  return (
    <details class="why" ref={folded}>
      <summary>
        <h2>{WHY.head}</h2> <span>{inShort(drying)}</span>
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

const BAR_PX = { width: 150, height: 22, inset: 4 } as const;

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
