/** The job as a sentence with blanks; what is seldom said is folded away. */
import { useState } from 'preact/hooks';
import type { SpoolState, StationState } from '../../server/api/messages.ts';
import type { Format } from '../format.ts';
import { ASK, sureOf } from '../words/jobs.ts';
import { type AskedJob, type Field, NO_CHAMBER, SURES, type Typed, USUAL } from './asked-job.ts';
import { Blank, Bound, Choice } from './blanks.tsx';

const FOLDED = ['boxC', 'exit', 'tubeM', 'sure'] as const;

export interface JobFormProps {
  readonly typed: Typed;
  readonly asked: AskedJob;
  readonly spools: readonly SpoolState[];
  readonly chambers: readonly StationState[];
  readonly format: Format;
  type(field: Field, value: string): void;
}

export function JobForm({ typed, asked, spools, chambers, format, type }: JobFormProps) {
  const wrong = asked.ok ? {} : asked.wrong;
  const of = (field: Field) => ({
    id: `job-${field}`,
    value: typed[field],
    wrong: wrong[field],
    onType: (value: string) => type(field, value),
  });
  const chosen = (value: string, among: readonly { readonly id: string }[]): string =>
    among.some(({ id }) => id === value) ? value : (among[0]?.id ?? '');
  const noChamber = typed.chamber === NO_CHAMBER || chambers.length === 0;
  // As the address said at first: it must not fold away under the hand that empties a field.
  const [said] = useState(() => FOLDED.some((field) => typed[field] !== USUAL[field]));
  return (
    <form class="job-form" onSubmit={(event) => event.preventDefault()} noValidate aria-label={ASK.head}>
      <p>
        <Bound>
          {ASK.the} <Blank {...of('name')} label={ASK.fields.name} size={14} words hint="…" />
        </Bound>{' '}
        <Bound>
          {ASK.takes} <Blank {...of('grams')} label={ASK.fields.grams} size={5} />
        </Bound>{' '}
        <Bound>
          {ASK.of}{' '}
          <Choice
            {...of('spool')}
            value={chosen(typed.spool, spools)}
            label={ASK.fields.spool}
            options={spools.map(({ id, materialKey }) => [id, `${id} (${materialKey})`])}
          />
        </Bound>{' '}
        <Bound>
          {ASK.prints} {typed.pace === 'rate' ? ASK.atRate : ASK.for}{' '}
          <Blank
            {...of('time')}
            label={typed.pace === 'rate' ? ASK.fields.rate : ASK.fields.hours}
            size={4}
          />{' '}
          <Choice
            {...of('pace')}
            label={ASK.fields.pace}
            options={[
              ['hours', ASK.hours],
              ['rate', ASK.rate],
            ]}
          />
          {ASK.stop}
        </Bound>{' '}
        <Bound>
          {ASK.chamberIs}{' '}
          <Choice
            {...of('chamber')}
            value={noChamber ? NO_CHAMBER : chosen(typed.chamber, chambers)}
            label={ASK.fields.chamber}
            options={[...chambers.map(({ id }) => [id, id] as const), [NO_CHAMBER, ASK.noChamber] as const]}
          />
          {noChamber && ASK.stop}
        </Bound>{' '}
        {!noChamber && (
          <Bound>
            {ASK.toBe} <Blank {...of('chamberC')} label={ASK.fields.chamberC} size={4} hint={ASK.any} />{' '}
            {format.temperatureUnit}
            {ASK.stop}
          </Bound>
        )}
      </p>
      <details open={said}>
        <summary>{ASK.more}</summary>
        <p>
          <Bound>
            {ASK.box} <Blank {...of('boxC')} label={ASK.fields.boxC} size={5} hint={ASK.usual} />{' '}
            {format.temperatureUnit}
            {ASK.comma}
          </Bound>{' '}
          <Bound>
            {ASK.exit}{' '}
            <Choice
              {...of('exit')}
              label={ASK.fields.exit}
              options={[
                ['closed', ASK.exitClosed],
                ['open', ASK.exitOpen],
              ]}
            />
            {ASK.stop}
          </Bound>{' '}
          <Bound>
            {ASK.tube} <Blank {...of('tubeM')} label={ASK.fields.tubeM} size={4} hint="…" /> {ASK.m}
          </Bound>{' '}
          <Bound>
            <Choice
              {...of('tube')}
              label={ASK.fields.tube}
              options={[
                ['damp', ASK.tubeDamp],
                ['dry', ASK.tubeDry],
              ]}
            />
            {ASK.comma}
          </Bound>{' '}
          <Bound>
            {ASK.stood} <Blank {...of('stood')} label={ASK.fields.stood} size={4} hint="…" /> {ASK.min}
          </Bound>{' '}
          <Bound>
            {ASK.sure}{' '}
            <Choice
              {...of('sure')}
              label={ASK.fields.sure}
              options={SURES.map((sure) => [sure, sureOf(Number(sure))])}
            />{' '}
            {ASK.sureEnd}
          </Bound>
        </p>
      </details>
    </form>
  );
}
