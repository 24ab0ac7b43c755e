/** The plate's numbers for those who read rather than look: the span shown, in twelve steps. */
import type { Format } from '../format.ts';
import { NO_NUMBER } from '../format.ts';
import { PLATE } from '../words.ts';
import type { LaneBand, LaneSpec } from './lane-spec.ts';
import { valueNear } from './sample-near.ts';
import type { Range } from './view.ts';

const STEPS = 12;

export function PlateTable(props: {
  readonly lanes: readonly LaneSpec[];
  readonly range: Range;
  readonly nowMs: number;
  readonly format: Format;
}) {
  const { lanes, range, nowMs, format } = props;
  const lastMs = Math.min(range.toMs, nowMs);
  const times = Array.from(
    { length: STEPS + 1 },
    (_, step) => range.fromMs + ((lastMs - range.fromMs) * step) / STEPS,
  );
  const columns = lanes.flatMap((lane) =>
    lane.lines.map((line, index) => ({ lane, line, band: index === 0 ? lane.bands[0] : undefined })),
  );
  return (
    <table>
      <caption class="vh">{PLATE.between}</caption>
      <thead>
        <tr>
          <th scope="col">{PLATE.time}</th>
          {columns.map(({ lane, line }) => (
            <th scope="col" key={`${lane.id} ${line.name}`}>
              {line.name}, {lane.unit}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {times.map((atMs) => (
          <tr key={atMs}>
            <th scope="row">{format.when(atMs, nowMs)}</th>
            {columns.map(({ lane, line, band }) => (
              <td key={`${lane.id} ${line.name}`}>{cellText(lane, valueNear(line, atMs), band, atMs)}</td>
            ))}
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function cellText(lane: LaneSpec, value: number | null, band: LaneBand | undefined, atMs: number): string {
  if (value === null) return NO_NUMBER;
  const { number } = lane;
  const [low, high] = band ? [valueNear(band.low, atMs), valueNear(band.high, atMs)] : [null, null];
  return low === null || high === null ? number(value) : `${number(value)} (${number(low)}–${number(high)})`;
}
