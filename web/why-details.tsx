/** "Why this number", folded: columns of sentences, and what the data say about what was not known. */
import type { ComponentChildren } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import { isFactor, type Row, sayLearned } from './why-words.ts';

export function WhyDetails(props: { head: string; short: string; children: ComponentChildren }) {
  const folded = useRef<HTMLDetailsElement>(null);
  // What is printed can be opened no more.
  useEffect(() => {
    const open = (): void => folded.current?.setAttribute('open', '');
    addEventListener('beforeprint', open);
    return () => removeEventListener('beforeprint', open);
  }, []);
  return (
    <details class="why" ref={folded}>
      <summary>
        <h2>{props.head}</h2> <span>{props.short}</span>
      </summary>
      <div class="cols">{props.children}</div>
    </details>
  );
}

/** `bold` are the sentences that matter most: they come last, in bold. */
export function WhySentences(props: {
  head: string;
  said: readonly string[];
  bold?: readonly string[];
  none?: string;
}) {
  const { said, bold = [] } = props;
  return (
    <div>
      <h3>{props.head}</h3>
      {said.length + bold.length === 0 ? (
        <p class="soft">{props.none}</p>
      ) : (
        <ul>
          {said.map((one) => (
            <li key={one}>{one}</li>
          ))}
          {bold.map((one) => (
            <li key={one}>
              <b>{one}</b>
            </li>
          ))}
        </ul>
      )}
    </div>
  );
}

/** Prior beside posterior. */
export function WhyLearned(props: { head: string; rows: readonly Row[]; legend: string; none: string }) {
  return (
    <div>
      <h3>{props.head}</h3>
      {props.rows.length === 0 ? (
        <p class="soft">{props.none}</p>
      ) : (
        <>
          <ul>
            {props.rows.map((row) => (
              <Learned row={row} key={row.unknown} />
            ))}
          </ul>
          <p class="soft">{props.legend}</p>
        </>
      )}
    </div>
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
