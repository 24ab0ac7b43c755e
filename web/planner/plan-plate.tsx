/** The planned curve: one lane over its ruler, read by pointer, touch and keys; and the same as a table. */
import { useSignal } from '@preact/signals';
import { useEffect, useLayoutEffect, useRef } from 'preact/hooks';
import type { PlanAnswer } from '../../server/api/messages-plan.ts';
import { type Format, fixed, withUnit } from '../format.ts';
import { Hatches } from '../ruler/hatches.tsx';
import { Lane } from '../ruler/lane.tsx';
import type { LaneSpec } from '../ruler/lane-spec.ts';
import { onPaletteChange, readPalette } from '../ruler/palette.ts';
import { layoutPlate, type PlateLayout } from '../ruler/plate-layout.ts';
import { cellText, namesIn, sayLane, valueAt } from '../ruler/readout.ts';
import type { Range } from '../ruler/view.ts';
import { PLAN_LANE } from '../words/planner.ts';
import { type Ghost, planLane, rangeOfPlan } from './plan-lane.ts';
import { degreeTicks, PlanRuler, timeTicks } from './plan-ruler.tsx';
import { spanText } from './span.ts';

interface Drawn {
  readonly lane: LaneSpec;
  readonly range: Range;
  readonly layout: PlateLayout;
  /** A place along the ruler in words: "after 34 h", "70 °C". */
  readonly sayPlace: (x: number) => string;
}

export function PlanPlate(props: {
  readonly answer: PlanAnswer;
  readonly ghost: Ghost | null;
  readonly said: string;
  readonly format: Format;
}) {
  const { answer, ghost, format } = props;
  const outer = useRef<HTMLDivElement>(null);
  const widthPx = useSignal(0);
  const palette = useSignal(readPalette());
  const cursor = useSignal<number | null>(null);
  useLayoutEffect(() => {
    const element = outer.current;
    if (!element) return;
    const measure = (): void => {
      widthPx.value = element.clientWidth;
    };
    measure();
    const observer = new ResizeObserver(measure);
    observer.observe(element);
    return () => observer.disconnect();
  }, [widthPx]);
  useEffect(
    () =>
      onPaletteChange(() => {
        palette.value = readPalette();
      }),
    [palette],
  );
  const layout = layoutPlate(widthPx.value);
  const range = rangeOfPlan(answer);
  const lane = planLane(answer, ghost, layout.narrow);
  const air = answer.kind === 'air';
  const sayPlace = (x: number): string =>
    air
      ? withUnit(fixed(format.shownTemperature(x / 1000), 0), format.temperatureUnit)
      : x <= 0
        ? PLAN_LANE.start
        : PLAN_LANE.after(spanText(x / 1000));
  const drawn: Drawn = { lane, range, layout, sayPlace };
  const read = cursor.value;
  return (
    <section class="plan-plate" aria-label={PLAN_LANE.summary(lane.title, props.said)}>
      <div ref={outer}>
        {widthPx.value > 0 && (
          <figure class="fig" style={{ height: `${layout.lowerTopPx}px` }} aria-label={lane.title}>
            <Hatches />
            <Lane
              spec={lane}
              range={range}
              nowMs={range.fromMs}
              topPx={layout.upperTopPx}
              leftPx={layout.leftPx}
              widthPx={layout.widthPx}
              heightPx={layout.upperPx}
              narrow={layout.narrow}
              palette={palette.value}
            />
            <PlanRuler
              ticks={air ? degreeTicks(range, layout.widthPx, format) : timeTicks(range, layout.widthPx)}
              begin={air ? null : PLAN_LANE.start}
              topPx={layout.stripTopPx}
              leftPx={layout.leftPx}
              widthPx={layout.widthPx}
              heightPx={layout.stripPx}
            />
            {read !== null && <Reading {...drawn} at={read} />}
            <Hands
              {...drawn}
              at={read}
              label={air ? PLAN_LANE.sliderAir : PLAN_LANE.slider}
              read={(x) => {
                cursor.value = x;
              }}
            />
          </figure>
        )}
      </div>
      <p class="under reads soft">
        {read === null ? PLAN_LANE.hint : PLAN_LANE.at(sayPlace(read), sayLane(lane, read))}
      </p>
      <details class="tab">
        <summary>{PLAN_LANE.table}</summary>
        <PlanTable {...drawn} air={air} />
      </details>
    </section>
  );
}

function Reading({ layout, range, at, sayPlace }: Drawn & { at: number }) {
  const x = layout.leftPx + (layout.widthPx * (at - range.fromMs)) / (range.toMs - range.fromMs);
  const edge = layout.leftPx + layout.widthPx;
  return (
    <svg class="layer" width={edge} height={layout.lowerTopPx} aria-hidden="true">
      <line class="cur" x1={x} x2={x} y1={layout.upperTopPx - 6} y2={layout.lowerTopPx} />
      <text
        class="b halo"
        x={Math.min(edge - 30, Math.max(30, x))}
        y={layout.upperTopPx - 10}
        text-anchor="middle"
      >
        {sayPlace(at)}
      </text>
    </svg>
  );
}

/** Arrow keys walk a fortieth of the span, page keys a tenth. */
const STEPS: Readonly<Record<string, number>> = {
  ArrowLeft: -1 / 40,
  ArrowDown: -1 / 40,
  ArrowRight: 1 / 40,
  ArrowUp: 1 / 40,
  PageDown: -1 / 10,
  PageUp: 1 / 10,
};

function Hands(props: Drawn & { at: number | null; label: string; read(x: number | null): void }) {
  const { lane, range, layout, sayPlace, read } = props;
  const span = range.toMs - range.fromMs;
  const at = props.at ?? range.fromMs;
  const inside = (x: number): number => Math.min(range.toMs, Math.max(range.fromMs, x));
  const point = (event: PointerEvent): void => {
    const box = (event.currentTarget as HTMLElement).getBoundingClientRect();
    read(inside(range.fromMs + (span * (event.clientX - box.left)) / Math.max(1, box.width)));
  };
  const key = (event: KeyboardEvent): void => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const share = STEPS[event.key];
    if (share !== undefined) read(inside(at + share * span));
    else if (event.key === 'Home') read(range.fromMs);
    else if (event.key === 'End') read(range.toMs);
    else if (event.key === 'Escape') read(null);
    else return;
    event.preventDefault();
  };
  return (
    <div
      class="surface"
      role="slider"
      tabIndex={0}
      aria-label={props.label}
      aria-valuemin={0}
      aria-valuemax={100}
      aria-valuenow={Math.round((100 * (at - range.fromMs)) / span)}
      aria-valuetext={PLAN_LANE.at(sayPlace(at), sayLane(lane, at))}
      onPointerDown={point}
      onPointerMove={point}
      onPointerLeave={(event) => {
        if (event.pointerType === 'mouse') read(null);
      }}
      onKeyDown={key}
      onBlur={() => read(null)}
      style={{
        left: `${layout.leftPx}px`,
        top: `${layout.upperTopPx}px`,
        width: `${layout.widthPx}px`,
        height: `${layout.lowerTopPx - layout.upperTopPx}px`,
      }}
    />
  );
}

const ROWS = 12;

function PlanTable({ lane, range, sayPlace, air }: Drawn & { air: boolean }) {
  const places = Array.from(
    { length: ROWS + 1 },
    (_, row) => range.fromMs + ((range.toMs - range.fromMs) * row) / ROWS,
  );
  const names = namesIn(lane).filter((name) => name !== PLAN_LANE.before);
  return (
    <table>
      <caption class="vh">{PLAN_LANE.caption}</caption>
      <thead>
        <tr>
          <th scope="col">{air ? PLAN_LANE.temperature : PLAN_LANE.time}</th>
          {names.map((name) => (
            <th scope="col" key={name}>
              {name}, {lane.unit}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {places.map((place) => (
          <tr key={place}>
            <th scope="row">{sayPlace(place)}</th>
            {names.map((name) => (
              <td key={name}>{cellText(lane, valueAt(lane, name, place))}</td>
            ))}
          </tr>
        ))}
      </tbody>
    </table>
  );
}
