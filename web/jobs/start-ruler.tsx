/** How likely each start is to come out well, and the job's window on it: dragged, or moved by keys. */
import { useRef } from 'preact/hooks';
import type { StartChancesWire } from '../../server/api/messages-jobs.ts';
import type { Format } from '../format.ts';
import { TimeStrip } from '../ruler/time-strip.tsx';
import { chanceText, START } from '../words/jobs.ts';
import { chanceAt, HOUR_MS, movedBy, rulerRange, STEP_MS, sayChance } from './chances.ts';
import { useWidth } from './measured-width.ts';

const LANE_PX = 120;
const STRIP_PX = 36;
const TOP_PX = 24;
const NARROW_PX = 560;

export interface StartRulerProps {
  readonly chances: StartChancesWire;
  readonly earliestMs: number | null;
  readonly startMs: number;
  readonly hours: number;
  readonly sure: number;
  readonly sureText: string;
  readonly limit: string;
  readonly nowMs: number;
  readonly format: Format;
  /** Null: back to the earliest start. */
  move(startMs: number | null): void;
}

export function StartRuler(props: StartRulerProps) {
  const { chances, earliestMs, startMs, hours, nowMs, format, move } = props;
  const [host, width] = useWidth();
  const grabbedMs = useRef<number | null>(null);
  const foretoldMs = chances.chances.at(-1)?.atMs ?? nowMs;
  const range = rulerRange(nowMs, earliestMs, hours, foretoldMs);
  const leftPx = width.value < NARROW_PX ? 26 : 44;
  const widthPx = Math.max(0, width.value - leftPx);
  const lastMs = Math.min(foretoldMs, range.toMs);
  const said = sayChance(chances, startMs, hours, props.sure, props.limit, nowMs, format);
  const timeAt = (clientX: number): number => {
    const box = host.current?.getBoundingClientRect();
    const share = (clientX - (box?.left ?? 0) - leftPx) / Math.max(1, widthPx);
    return range.fromMs + share * (range.toMs - range.fromMs);
  };
  const keep = (ms: number): number => Math.min(lastMs, Math.max(nowMs, Math.round(ms / STEP_MS) * STEP_MS));
  return (
    <section class="start-ruler" aria-label={START.chanceLabel}>
      <h2 class="head">{START.chanceHead}</h2>
      <p class="at-start">{said}</p>
      <div ref={host} class="fig" style={{ height: `${TOP_PX + LANE_PX + STRIP_PX}px` }}>
        {widthPx > 0 && (
          <>
            <Lane {...props} range={range} leftPx={leftPx} widthPx={widthPx} />
            <TimeStrip
              range={range}
              clockMs={nowMs}
              nowMs={nowMs}
              topPx={TOP_PX + LANE_PX}
              leftPx={leftPx}
              widthPx={widthPx}
              heightPx={STRIP_PX}
              format={format}
            />
            <div
              class="surface window-hand"
              role="slider"
              tabIndex={0}
              aria-label={START.window}
              aria-valuemin={Math.round(nowMs / 60_000)}
              aria-valuemax={Math.round(lastMs / 60_000)}
              aria-valuenow={Math.round(startMs / 60_000)}
              aria-valuetext={said}
              style={{
                left: `${leftPx}px`,
                top: `${TOP_PX}px`,
                width: `${widthPx}px`,
                height: `${LANE_PX + STRIP_PX}px`,
              }}
              onPointerDown={(event) => {
                const atMs = timeAt(event.clientX);
                const inside = atMs >= startMs && atMs <= startMs + hours * HOUR_MS;
                grabbedMs.current = inside ? atMs - startMs : 0;
                event.currentTarget.setPointerCapture(event.pointerId);
                if (!inside) move(keep(atMs));
              }}
              onPointerMove={(event) => {
                if (grabbedMs.current !== null) move(keep(timeAt(event.clientX) - grabbedMs.current));
              }}
              onPointerUp={() => {
                grabbedMs.current = null;
              }}
              onPointerCancel={() => {
                grabbedMs.current = null;
              }}
              onKeyDown={(event) => {
                const to = movedBy(event.key, startMs, nowMs, lastMs);
                if (to === null) return;
                event.preventDefault();
                move(to === 'back' ? null : to);
              }}
            />
          </>
        )}
      </div>
      <p class="reads soft">{START.hint}</p>
      <details class="tab plain">
        <summary>{START.table}</summary>
        <ChanceTable {...props} />
      </details>
    </section>
  );
}

type Drawn = StartRulerProps & {
  readonly range: { readonly fromMs: number; readonly toMs: number };
  readonly leftPx: number;
  readonly widthPx: number;
};

function Lane(props: Drawn) {
  const { chances, earliestMs, startMs, hours, sure, range, leftPx, widthPx, nowMs } = props;
  const x = (atMs: number): number =>
    Math.min(widthPx, Math.max(0, (widthPx * (atMs - range.fromMs)) / (range.toMs - range.fromMs)));
  const y = (p: number): number => LANE_PX * (1 - p);
  const shown = chances.chances.filter(({ atMs }) => atMs <= range.toMs);
  const last = chanceAt(chances, range.toMs);
  const points = last ? [...shown, { atMs: range.toMs, ...last }] : shown;
  const path = (of: (one: (typeof points)[number]) => number | null): string =>
    points
      .flatMap((one, i) => {
        const p = of(one);
        return p === null ? [] : [`${i === 0 ? 'M' : 'L'}${x(one.atMs).toFixed(1)} ${y(p).toFixed(1)}`];
      })
      .join('');
  const hasChamber = points.some(({ pChamber }) => pChamber !== null);
  const here = chanceAt(chances, startMs);
  const [fromX, toX] = [x(startMs), x(startMs + hours * HOUR_MS)];
  return (
    <svg
      class="layer"
      style={{ left: `${leftPx}px`, top: `${TOP_PX}px` }}
      width={widthPx}
      height={LANE_PX}
      aria-hidden="true"
    >
      {[0, 0.5, 1].map((p) => (
        <g key={p}>
          <line class="grid" x1={0} x2={widthPx} y1={y(p)} y2={y(p)} />
          <text x={-6} y={y(p) + 4} text-anchor="end">
            {10 * p}
          </text>
        </g>
      ))}
      <text x={-leftPx} y={-10}>
        <tspan>{START.axis}</tspan>
        <tspan class="wt" dx={6}>
          {START.spoolColumn}
        </tspan>
        {hasChamber && (
          <tspan class="ht" dx={10}>
            {START.chamberColumn}
          </tspan>
        )}
      </text>
      <rect class="window" x={fromX} y={1} width={Math.max(2, toX - fromX)} height={LANE_PX - 2} />
      <line class="lim" x1={0} x2={widthPx} y1={y(sure)} y2={y(sure)} />
      <text class="halo" x={widthPx - 4} y={y(sure) + 15} text-anchor="end">
        {START.sureLine(props.sureText)}
      </text>
      {hasChamber && <path class="hl dash" d={path(({ pChamber }) => pChamber)} />}
      <path class="wl dash" d={path(({ pSpool }) => pSpool)} />
      <line class="now" x1={x(nowMs)} x2={x(nowMs)} y1={0} y2={LANE_PX} />
      {earliestMs !== null && earliestMs <= range.toMs && (
        <path class="flag" d={`M${x(earliestMs)} ${LANE_PX}V-8l11 4l-11 4`} />
      )}
      <line class="cur" x1={fromX} x2={fromX} y1={0} y2={LANE_PX} />
      {here && hasChamber && here.pChamber !== null && (
        <circle class="ring ht" cx={fromX} cy={y(here.pChamber)} r={4} />
      )}
      {here && <circle class="ring wt" cx={fromX} cy={y(here.pSpool)} r={4} />}
    </svg>
  );
}

function ChanceTable({ chances, sure, nowMs, format }: StartRulerProps) {
  const hasChamber = chances.chances.some(({ pChamber }) => pChamber !== null);
  return (
    <table>
      <thead>
        <tr>
          <th scope="col">{START.start}</th>
          <th scope="col">{START.spoolColumn}</th>
          {hasChamber && <th scope="col">{START.chamberColumn}</th>}
        </tr>
      </thead>
      <tbody>
        {chances.chances.map(({ atMs, pSpool, pChamber }) => (
          <tr key={atMs}>
            <th scope="row">{format.when(atMs, nowMs)}</th>
            <td>{chanceText(pSpool, sure)}</td>
            {hasChamber && <td>{pChamber === null ? '' : chanceText(pChamber, sure)}</td>}
          </tr>
        ))}
      </tbody>
    </table>
  );
}
