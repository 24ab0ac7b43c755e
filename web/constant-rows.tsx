/** A table's body of constants, each with its value, grade and sources: the same wherever one is shown. */
import { constantText } from './constant-text.ts';

export interface ConstantRow {
  readonly quantity: string;
  readonly value: number;
  readonly unit: string;
  readonly grade: string;
  readonly sources: readonly string[];
}

export function ConstantRows({ rows }: { rows: readonly ConstantRow[] }) {
  return (
    <tbody>
      {rows.map((row) => (
        <tr key={row.quantity}>
          <th scope="row">{row.quantity}</th>
          <td>{constantText(row)}</td>
          <td>{row.grade}</td>
          <td>{row.sources.join('; ')}</td>
        </tr>
      ))}
    </tbody>
  );
}
