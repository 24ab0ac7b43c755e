/**
 * With several boxes, spools or chambers: which of them answer and plate are about. Each box keeps its answer in one
 * line, so that the one that is not looked at is not out of sight.
 */
import type { SpoolState, StationState } from '../server/api/messages.ts';
import type { BenchState } from './bench-state.ts';
import { fixed, withUnit } from './format.ts';
import { quietLine, spoolLine } from './spool-answer.ts';
import { isBox } from './stations.ts';
import { PLATE } from './words/bench.ts';
import { SPOOL } from './words/spool.ts';

interface Row {
  readonly station: StationState;
  readonly spool: SpoolState | null;
}

export function PairChoice({ state }: { state: BenchState }) {
  const bench = state.bench.value;
  const stations = bench?.stations ?? [];
  const spools = bench?.spools ?? [];
  const rows: Row[] = stations.filter(isBox).flatMap((station): Row[] => {
    const inside = spools.filter((spool) => spool.station === station.id);
    return inside.length === 0 ? [{ station, spool: null }] : inside.map((spool) => ({ station, spool }));
  });
  const chambers = stations.filter((station) => station.role === 'chamber');
  if (rows.length < 2 && chambers.length < 2) return null;
  return (
    <div class="pairs">
      {rows.length > 1 && <Boxes state={state} rows={rows} />}
      {chambers.length > 1 && <Chambers state={state} chambers={chambers} />}
    </div>
  );
}

function Boxes({ state, rows }: { state: BenchState; rows: readonly Row[] }) {
  const { box } = state.cast.value;
  const chosen = state.spool.value;
  return (
    <fieldset class="boxes">
      <legend>{PLATE.shownOf.box}</legend>
      {rows.map(({ station, spool }) => {
        const pressed = station === box && (spool === null || chosen === null || spool.id === chosen.id);
        return (
          <p key={`${station.id} ${spool?.id ?? ''}`}>
            <button
              type="button"
              aria-pressed={pressed}
              onClick={() => {
                state.chosen.value = { ...state.chosen.value, boxId: station.id, spoolId: spool?.id ?? null };
              }}
            >
              {station.id}
            </button>
            <span>{lineOf(state, station, spool)}</span>
          </p>
        );
      })}
    </fieldset>
  );
}

/** Silence first: what was known of a quiet box is of then. */
function lineOf(state: BenchState, station: StationState, spool: SpoolState | null): string {
  const nowMs = state.nowMs.value;
  const format = state.format.value;
  if (station.quiet) return quietLine(station.heardMs === null ? null : Math.max(0, nowMs - station.heardMs));
  if (spool?.drying) return spoolLine({ spool: { ...spool, drying: spool.drying }, nowMs, format });
  const { t, rh } = station.values;
  const values = [
    ...(t === undefined ? [] : [withUnit(format.temperature(t), format.temperatureUnit)]),
    ...(rh === undefined ? [] : [withUnit(fixed(rh, 1), PLATE.humidityUnit)]),
  ].join(', ');
  return `${spool ? spool.id : SPOOL.line.noSpool}${values === '' ? '' : SPOOL.line.air(values)}`;
}

function Chambers({ state, chambers }: { state: BenchState; chambers: readonly StationState[] }) {
  return (
    <fieldset class="spans">
      <legend>{PLATE.shownOf.chamber}</legend>
      {chambers.map((station) => (
        <button
          type="button"
          aria-pressed={station === state.cast.value.chamber}
          onClick={() => {
            state.chosen.value = { ...state.chosen.value, chamberId: station.id };
          }}
          key={station.id}
        >
          {station.id}
        </button>
      ))}
    </fieldset>
  );
}
