import type { StationState } from '../server/api/messages.ts';
import { standingAt } from './alerts/alert-list.ts';
import { SPARK_SPAN_MS } from './bench-feed.ts';
import type { BenchState } from './bench-state.ts';
import { ceilingWords } from './ceiling-words.ts';
import { Sparkline } from './sparkline.tsx';
import { type Cell, cellsOf } from './station-cells.ts';
import { watchedKey } from './stations.ts';
import { ALERTS, MARKS } from './words/alerts.ts';
import { STATIONS } from './words/bench.ts';
import { ROLE_NOTES } from './words/ground.ts';

/** One row a station; on a narrow page the style sheet lays each row out as a small paragraph of figures. */
export function StationsTable({ state }: { state: BenchState }) {
  const bench = state.bench.value;
  if (!bench || bench.stations.length === 0) return null;
  const lostSinceMs = state.lostSinceMs.value;
  const unit = state.format.value.temperatureUnit;
  const heads = [
    STATIONS.place,
    STATIONS.heard,
    STATIONS.air(unit),
    STATIONS.humidity,
    STATIONS.dewPoint(unit),
    STATIONS.vapour,
    STATIONS.recent,
    STATIONS.faults,
  ];
  return (
    <section aria-labelledby="stations" class={lostSinceMs === null ? undefined : 'as-of'}>
      <h2 class="head" id="stations">
        {STATIONS.head}
        {lostSinceMs !== null && ' '}
        {lostSinceMs !== null && (
          <span class="aside">{STATIONS.asOf(state.format.value.clockWithSeconds(lostSinceMs))}</span>
        )}
      </h2>
      <table class="stations" aria-label={STATIONS.head}>
        <thead>
          <tr>
            {heads.map((head) => (
              <th scope="col" key={head}>
                {head}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {bench.stations.map((station) => (
            <StationRows station={station} heads={heads} state={state} key={station.id} />
          ))}
        </tbody>
      </table>
    </section>
  );
}

function StationRows(props: { station: StationState; heads: readonly string[]; state: BenchState }) {
  const { station, heads, state } = props;
  const nowMs = state.nowMs.value;
  const cells = cellsOf(station, nowMs, state.format.value);
  const told = standingAt(state.bench.value?.alerts ?? [], station.id);
  const watched = watchedKey(station);
  const ceiling = ceilingWords(station, nowMs, state.format.value);
  // Read so that the line is drawn again when the series has grown.
  void state.drawn.value;
  return (
    <>
      <tr data-station={station.id}>
        <th scope="row">
          <b>{station.id}</b>
          <span class="n">{ROLE_NOTES[station.role]}</span>
          {!station.checked && <span class="n">{STATIONS.unchecked}</span>}
          {station.calibratedOn !== null && (
            <span class="n">{STATIONS.calibrated(station.calibratedOn)}</span>
          )}
          {cells.also !== '' && !station.quiet && (
            <span class="n">
              {STATIONS.also} {cells.also}
            </span>
          )}
        </th>
        <FigureCell cell={cells.heard} head={heads[1]} />
        <FigureCell cell={cells.air} head={heads[2]} />
        <FigureCell cell={cells.humidity} head={heads[3]} />
        <FigureCell cell={cells.dewPoint} head={heads[4]} />
        <FigureCell cell={cells.vapour} head={heads[5]} />
        <td class="sp" data-head={heads[6]}>
          <Sparkline
            series={state.sparkSeries.get(station.id, watched)}
            watched={watched}
            intervalMs={station.intervalMs}
            quiet={station.quiet}
            fromMs={nowMs - SPARK_SPAN_MS}
            toMs={nowMs}
            format={state.format.value}
          />
        </td>
        <FigureCell cell={cells.faults} head={heads[7]} wide />
      </tr>
      {told.length > 0 && (
        <tr class="more">
          <td colspan={8}>
            {told.map((alert) => (
              <div class={`al ${alert.state}`} key={alert.id}>
                <span class="sh" aria-hidden="true">
                  {MARKS[alert.state]}
                </span>
                <p>
                  <span class="st">{ALERTS.rule(alert.title, alert.state)}</span> {alert.headline}
                </p>
              </div>
            ))}
          </td>
        </tr>
      )}
      {ceiling.length > 0 && (
        <tr class="more">
          <td colspan={8}>
            <span class="n">{ceiling.join(' ')}</span>
          </td>
        </tr>
      )}
      {station.quiet && !told.some(({ rule }) => rule === 'station-quiet') && (
        <tr class="more">
          <td colspan={8}>
            {station.heardMs === null ? (
              <p class="soft">{STATIONS.quietNever}</p>
            ) : (
              <p class="al active">
                <span class="sh" aria-hidden="true">
                  {STATIONS.quietMark}
                </span>
                <span>
                  <span class="st">{STATIONS.quietRule}</span>{' '}
                  {STATIONS.quiet(state.format.value.clockWithSeconds(station.heardMs))}
                </span>
              </p>
            )}
          </td>
        </tr>
      )}
    </>
  );
}

function FigureCell(props: { cell: Cell; head: string | undefined; wide?: boolean }) {
  const { cell } = props;
  const value =
    cell.tone === 'loud' ? (
      <span class="tag">{cell.value}</span>
    ) : (
      <span class={cell.tone === 'soft' ? 'v soft' : 'v'}>{cell.value}</span>
    );
  return (
    <td class={props.wide ? 'f' : undefined} data-head={props.head}>
      {value}
      {cell.note !== '' && <span class="n">{cell.note}</span>}
    </td>
  );
}
