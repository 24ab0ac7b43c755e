/** A table of a report; the first cell of each row names it. */
export function Table({
  head,
  rows,
  label,
}: {
  head: readonly string[];
  rows: readonly (readonly string[])[];
  label: string;
}) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a scrolling region needs focus
    <section class="wide" tabIndex={0} aria-label={label}>
      <table>
        <thead>
          <tr>
            {head.map((cell, place) =>
              cell === '' ? (
                <td key={place} />
              ) : (
                <th scope="col" key={place}>
                  {cell}
                </th>
              ),
            )}
          </tr>
        </thead>
        <tbody>
          {rows.map(([first, ...cells], i) => (
            <tr key={`${i} ${first}`}>
              <th scope="row">{first}</th>
              {cells.map((cell, place) => (
                <td key={`${place} ${cell}`}>{cell}</td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
