/** What is set up already, and the tables that lowdew reckons with. */

import { useSignal } from '@preact/signals';
import type { ComponentChildren } from 'preact';
import type { BenchState } from '../bench-state.ts';
import { ConstantRows } from '../constant-rows.tsx';
import { PLACES } from '../words/ground.ts';
import { MATERIALS, STATIONS_KNOWN } from '../words/setup.ts';
import { Choice } from './fields.tsx';
import type { Setup } from './setup-state.ts';

/** A table that may be wider than a phone scrolls in its own box, which a keyboard must be able to reach. */
function Wide({ label, children }: { label: string; children: ComponentChildren }) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a scrolling region needs focus
    <section class="wide" tabIndex={0} aria-label={label}>
      {children}
    </section>
  );
}

export function StationsPart({ state }: { state: BenchState }) {
  const stations = state.bench.value?.stations ?? [];
  if (stations.length === 0) return null;
  return (
    <section class="setup" aria-labelledby="known">
      <h2 class="head" id="known">
        {STATIONS_KNOWN.head}
      </h2>
      <Wide label={STATIONS_KNOWN.table}>
        <table>
          <thead>
            <tr>
              <th scope="col">{STATIONS_KNOWN.station}</th>
              <th scope="col">{STATIONS_KNOWN.role}</th>
              <th scope="col">{STATIONS_KNOWN.lines}</th>
              <th scope="col">{STATIONS_KNOWN.ceiling}</th>
            </tr>
          </thead>
          <tbody>
            {stations.map(({ id, role, checked, ceiling }) => (
              <tr key={id}>
                <th scope="row">{id}</th>
                <td>{PLACES[role]}</td>
                <td>{checked ? STATIONS_KNOWN.checked : STATIONS_KNOWN.unchecked}</td>
                <td>
                  {ceiling === null
                    ? '–'
                    : ceiling.ceilingC === null
                      ? STATIONS_KNOWN.noCeiling
                      : `${ceiling.ceilingC} °C, ${ceiling.reason}`}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </Wide>
      {stations.map(
        ({ id, calibratedOn }) =>
          calibratedOn !== null &&
          isOldCalibration(calibratedOn, state.nowMs.value) && (
            <p key={id}>{STATIONS_KNOWN.oldCalibration(id, calibratedOn)}</p>
          ),
      )}
    </section>
  );
}

/** As `lowdew check` has it: sensors drift, those that are hot now and then the more (judgement). */
const CALIBRATION_HOLDS_MS = 365 * 86_400_000;
const isOldCalibration = (on: string, nowMs: number): boolean =>
  nowMs - Date.parse(on) > CALIBRATION_HOLDS_MS;

export function MaterialsPart({ setup, spoolMaterial }: { setup: Setup; spoolMaterial: string | null }) {
  const chosen = useSignal<string | null>(null);
  const answer = setup.materials.value;
  if (!answer) return null;
  const key = chosen.value ?? spoolMaterial ?? answer.materials[0]?.key ?? '';
  const material = answer.materials.find((one) => one.key === key);
  return (
    <section class="setup" aria-labelledby="materials">
      <h2 class="head" id="materials">
        {MATERIALS.head}
      </h2>
      <Choice
        id="material"
        label={MATERIALS.choose}
        value={key}
        options={answer.materials.map((one) => [one.key, `${one.name} (${one.key})`])}
        set={(next) => {
          chosen.value = next;
        }}
      />
      {material && (
        <>
          <p>
            {MATERIALS.limits(
              `${material.printingLimitWtPercent} %`,
              `${material.resinGuideLimitWtPercent} %`,
            )}{' '}
            {MATERIALS.drying(`${material.usualDryingC} °C`, `${material.highestDryingC} °C`)}
          </p>
          <Wide label={MATERIALS.table}>
            <table>
              <thead>
                <tr>
                  <th scope="col">{MATERIALS.quantity}</th>
                  <th scope="col">{MATERIALS.value}</th>
                  <th scope="col">{MATERIALS.grade}</th>
                  <th scope="col">{MATERIALS.source}</th>
                </tr>
              </thead>
              <ConstantRows rows={material.evidence} />
            </table>
          </Wide>
        </>
      )}
      <h3>{MATERIALS.thingsHead}</h3>
      <p class="soft">{MATERIALS.thingsTell}</p>
      <Wide label={MATERIALS.thingsTable}>
        <table>
          <tbody>
            {answer.things.map(({ key: thing, name, ceilingC, reason }) => (
              <tr key={thing}>
                <th scope="row">{name}</th>
                <td>{`${ceilingC} °C`}</td>
                <td>{reason}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </Wide>
    </section>
  );
}
