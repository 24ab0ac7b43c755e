/** A record of a replay as one line for a person. */
import type { ReplayRecord } from '../replay.ts';

const n = (value: number | null, places: number): string => (value === null ? '–' : value.toFixed(places));

const counted = (counts: Readonly<Record<string, number>>): string =>
  Object.entries(counts)
    .map(([name, count]) => `${count} ${name}`)
    .join(', ');

const correctedTo = (value: number | undefined): string =>
  value === undefined ? '' : ` (corrected: ${value.toFixed(2)})`;

export function describeRecord(record: ReplayRecord): string {
  switch (record.kind) {
    case 'reading': {
      const values = Object.entries(record.values).map(
        ([key, value]) =>
          `${key} ${value}${record.flagged?.includes(key) ? ' (outside its range, not used)' : correctedTo(record.calibrated?.[key])}`,
      );
      const faults = Object.entries(record.faults).map(([key, fault]) => `${key} fault ${fault}`);
      return `${record.at}  ${record.station}  ${[...values, ...faults].join(', ')}`;
    }
    case 'air': {
      const band = record.dewPointBand;
      const dew =
        band === null
          ? 'no dew point'
          : band.kind === 'number'
            ? `dew point ${n(record.dewPointC, 1)} °C (${n(band.lowC, 1)} to ${n(band.highC, 1)})`
            : band.kind === 'interval'
              ? `dew point ${n(band.lowC, 1)} to ${n(band.highC, 1)} °C`
              : `dew point at or below ${n(band.highC, 1)} °C`;
      const density = record.vapourDensityBandGPerM3;
      const vapour = density
        ? `, vapour ${n(record.vapourDensityGPerM3, 2)} g/m³ (${n(density.low, 2)} to ${n(density.high, 2)})`
        : '';
      const humidity =
        record.relativeHumidityPercent === null
          ? ''
          : `, ${n(record.relativeHumidityPercent, 2)} %RH, ${dew}${vapour}`;
      return `${record.at}  ${record.station}  air ${n(record.airTemperatureC, 2)} °C${humidity}`;
    }
    case 'drying': {
      const { moistureWtPercent: w, readyOuterG: g, dryAt, dryAtReason } = record;
      const when =
        dryAt.p50 !== null
          ? `dry at about ${dryAt.p50.slice(0, 16)}Z`
          : {
              never: 'never dry in this air',
              beyond: 'dry later than in 7 days',
              'no-run': record.state === 'warming' ? 'too early to say when it is dry' : 'not being dried',
            }[dryAtReason.p50 ?? 'no-run'];
      return `${record.at}  ${record.spool} in ${record.station}  ${record.state}, ${n(w.p50, 3)} % (${n(w.p05, 3)} to ${n(w.p95, 3)}), usable ${n(g.p05, 0)} g, ${when}`;
    }
    case 'soak': {
      const end = record.finalAirC;
      const heading = end ? `, ends near ${n(end.p50, 1)} °C (${n(end.p05, 1)} to ${n(end.p95, 1)})` : '';
      const { steadyAt, openAt, steadyAtReason } = record;
      const when =
        record.state === 'steady'
          ? ''
          : openAt.p50 !== null
            ? openAt.p50 > record.at || openAt.p95 === null
              ? `, may be opened at about ${openAt.p50.slice(0, 16)}Z`
              : `, may be opened from ${openAt.p95.slice(0, 16)}Z on`
            : steadyAt.p50 !== null
              ? `, steady at about ${steadyAt.p50.slice(0, 16)}Z`
              : steadyAtReason.p50 === 'beyond'
                ? ', not steady within a day'
                : '';
      return `${record.at}  ${record.station}  ${record.state}${heading}${when}`;
    }
    case 'job': {
      const pauses = record.excursions.filter(({ kind }) => kind === 'pause').length;
      const open = record.excursions.filter(({ to }) => to === null).map(({ kind }) => kind);
      const fed = record.fedWtPercent ? `, turn being fed at ${n(record.fedWtPercent.p50, 3)} %` : '';
      return `${record.at}  job ${record.job} on ${record.spool}  ${record.state}, ${n(record.fedG, 0)} g fed${fed}, ${record.excursions.length - pauses} excursions${pauses > 0 ? `, ${pauses} pauses` : ''}${open.length > 0 ? ` (now: ${open.join(', ')})` : ''}${record.outcome ? `, ${record.outcome}` : ''}`;
    }
    case 'alert':
      return `${record.at}  ${record.rule}  ${record.state}${record.shelved ? ', shelved' : ''}: ${record.headline}`;
    case 'summary': {
      const refused = Object.entries(record.refused).map(([reason, count]) => `${count} ${reason}`);
      const lost = record.boards.reduce((sum, board) => sum + board.lost, 0);
      return [
        `${record.rows} rows, ${record.readings} readings`,
        `refused: ${refused.length === 0 ? 'none' : refused.join(', ')}`,
        `lines lost on the way: ${lost}`,
        ...Object.entries(record.restarts).map(
          ([source, causes]) => `the board on ${source} began again: ${counted(causes)}`,
        ),
        ...Object.entries(record.stations).flatMap(([id, { faults, flagged, quiet }]) => [
          ...(Object.keys(faults).length > 0 ? [`faults of ${id}: ${counted(faults)}`] : []),
          ...(Object.keys(flagged).length > 0 ? [`outside their range at ${id}: ${counted(flagged)}`] : []),
          ...(quiet > 0 ? [`${id} fell quiet ${quiet === 1 ? 'once' : `${quiet} times`}`] : []),
        ]),
        ...(record.clockStepped > 0 ? [`rows out of time order: ${record.clockStepped}`] : []),
        ...(record.unknownStations.length > 0
          ? [`unknown stations: ${record.unknownStations.join(', ')}`]
          : []),
      ].join('; ');
    }
  }
}
