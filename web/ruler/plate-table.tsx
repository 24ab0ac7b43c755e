/** The plate's numbers for those who read rather than look: the span shown, in twelve steps. */
import type { Format } from '../format.ts';
import { PLATE } from '../words/bench.ts';
import type { LaneSpec } from './lane-spec.ts';
import { cellText, namesIn, valueAt } from './readout.ts';
import type { Range } from './view.ts';

const STEPS = 12;

export function PlateTable(props: {
  readonly lanes: readonly LaneSpec[];
  readonly range: Range;
  readonly nowMs: number;
  readonly format: Format;
}) {
  const { lanes, range, nowMs, format } = props;
  const forecast = lanes.some((lane) => lane.lines.some((line) => line.look === 'dashed'));
  const lastMs = forecast ? range.toMs : Math.min(range.toMs, nowMs);
  const times = Array.from(
    { length: STEPS + 1 },
    (_, step) => range.fromMs + ((lastMs - range.fromMs) * step) / STEPS,
  );
  const columns = lanes.flatMap((lane) =>
    namesIn(lane).map((name) => ({ lane, name, key: `${lane.id} ${name}` })),
  );
  const happened = lanes.flatMap((lane) => lane.happenings ?? []).sort((a, b) => a.atMs - b.atMs);
  return (
    <>
      <table>
        <caption class="vh">{PLATE.between}</caption>
        <thead>
          <tr>
            <th scope="col">{PLATE.time}</th>
            {columns.map(({ lane, name, key }) => (
              <th scope="col" key={key}>
                {name}, {lane.unit}
              </th>
            ))}
            {forecast && <th scope="col">{PLATE.kind}</th>}
          </tr>
        </thead>
        <tbody>
          {times.map((atMs) => (
            <tr key={atMs}>
              <th scope="row">{format.when(atMs, nowMs)}</th>
              {columns.map(({ lane, name, key }) => (
                <td key={key}>{cellText(lane, valueAt(lane, name, atMs))}</td>
              ))}
              {forecast && <td>{atMs > nowMs ? PLATE.ahead : PLATE.fromReadings}</td>}
            </tr>
          ))}
        </tbody>
      </table>
      {happened.length > 0 && (
        <>
          <h3>{PLATE.happened}</h3>
          <ul>
            {happened.map(({ words, atMs }) => (
              <li key={`${atMs} ${words}`}>{words}</li>
            ))}
          </ul>
        </>
      )}
    </>
  );
}
