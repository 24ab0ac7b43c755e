/** The section for those who read rather than look: shell by shell, from the outside in. */
import type { SpoolState } from '../../server/api/messages.ts';
import { count, moisture, moistureRange } from '../format.ts';
import { PLATE } from '../words/bench.ts';
import { WINDING } from '../words/spool.ts';
import { shellRows } from './winding.ts';

export function WindingTable({ spool }: { spool: SpoolState }) {
  const rows = shellRows(spool);
  return (
    <table>
      <caption class="vh">{WINDING.caption}</caption>
      <thead>
        <tr>
          <th scope="col">{WINDING.grams}</th>
          <th scope="col">{WINDING.moisture}</th>
          <th scope="col">{WINDING.turns}</th>
        </tr>
      </thead>
      <tbody>
        {rows.map((row, index) => (
          <tr key={row.fromG}>
            <th scope="row">{PLATE.range(count(row.fromG), count(row.toG))}</th>
            <td>
              {moisture(row.moisture.p50)} ({moistureRange(row.moisture)})
            </td>
            <td>{WINDING.place(index, rows.length)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
