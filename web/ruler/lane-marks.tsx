/** Words and marks over a lane. Labels stand on the thing they name, with a halo of paper and never a box. */
import { PLATE } from '../words/bench.ts';
import { ArrivalMark } from './arrival-mark.tsx';
import { EventMark } from './event-mark.tsx';
import type { LaneProps } from './lane-props.ts';
import { type LaneLine, type LaneMark, sayValue } from './lane-spec.ts';
import { TITLE_OVER_LANE_PX } from './plate-layout.ts';
import { RailLines } from './rail-lines.tsx';
import { valueNear } from './sample-near.ts';
import { toY } from './scale.ts';

/** A generous width for one character of a label. */
const CHARACTER_PX = 6.8;
/** Where along the span a second line may be named, the best place first. */
const NAME_PLACES = [0.03, 0.13, 0.23, 0.33, 0.43, 0.53] as const;
/** Width that the newest value's words and *now* take. */
const HEAD_WORDS_PX = 150;
/** A word beside a line needs this much height free of the next line. */
const BESIDE_PX = 17;

export function LaneMarks(props: LaneProps) {
  const { spec, range, nowMs, widthPx, heightPx, narrow } = props;
  const x = (atMs: number): number => (widthPx * (atMs - range.fromMs)) / (range.toMs - range.fromMs);
  const y = (value: number): number => toY(spec.scale, heightPx, value);
  const tone = spec.substance === 'water' ? 'wt' : 'ht';
  const upper = spec.id === 'upper';
  const titleY = upper ? -TITLE_OVER_LANE_PX[narrow ? 'narrow' : 'wide'] : heightPx + 20;
  const dotted = spec.lines.filter((line) => line.look === 'dotted');
  // Of two close lines the upper one has its words above it and the lower one below.
  const reach = spec.floor ?? spec.level;
  const reachAbove = reach !== undefined && spec.limit !== undefined && reach.value > spec.limit.value;
  return (
    <svg class="layer marks" width={widthPx} height={heightPx} aria-hidden="true">
      <text class="title" x={0} y={titleY}>
        {spec.title}
        {narrow && (
          <tspan class="second" dx={7}>
            {spec.axisNote ?? spec.unit}
          </tspan>
        )}
      </text>
      {!narrow && (
        <text x={widthPx} y={titleY} text-anchor="end">
          {spec.axisNote ?? spec.unit}
        </text>
      )}
      {spec.scale.ticks.map((tick) => (
        <text x={-6} y={y(tick.at) + 4} text-anchor="end" key={tick.at}>
          {tick.text}
        </text>
      ))}
      {spec.silence && <Silence {...props} x={x} words={spec.silence.words} fromMs={spec.silence.fromMs} />}
      {reach && (
        <Level
          mark={reach}
          y={y(reach.value)}
          heightPx={heightPx}
          widthPx={widthPx}
          narrow={narrow}
          below={!reachAbove}
        />
      )}
      {spec.ceiling && (
        <Level
          mark={spec.ceiling}
          y={y(spec.ceiling.value)}
          heightPx={heightPx}
          widthPx={widthPx}
          narrow={narrow}
          bold
        />
      )}
      {spec.limit && (
        <Level
          mark={spec.limit}
          y={y(spec.limit.value)}
          heightPx={heightPx}
          widthPx={widthPx}
          narrow={narrow}
          below={reachAbove}
          bold
        />
      )}
      {spec.rails && <RailLines {...props} rails={spec.rails} x={x} y={y} />}
      {spec.events?.map((event) => (
        <EventMark {...props} event={event} x={x} y={y} key={event.atMs} />
      ))}
      {spec.happenings?.map(({ atMs, isAlarm }) => (
        <path
          class={isAlarm ? 'happened alarm' : 'happened'}
          // A filled triangle, or a lid ajar: told apart by shape.
          d={`M${x(atMs)} ${heightPx - 1}${isAlarm ? 'm0 -9l5 9h-10z' : 'm-4 -5v5h8v-5m-8 -1l7 -4'}`}
          key={`${atMs} ${isAlarm}`}
        />
      ))}
      {spec.arrival && <ArrivalMark {...props} arrival={spec.arrival} x={x} y={y(spec.arrival.value)} />}
      {spec.limit && spec.warning !== undefined && (
        <text
          class="at halo"
          x={widthPx - 4}
          y={y(spec.limit.value) + (reachAbove ? 16 : -7)}
          text-anchor="end"
        >
          {spec.warning}
        </text>
      )}
      {dotted.map((line, index) => (
        <LineName line={line} order={index} key={line.name} x={x} y={y} {...props} />
      ))}
      {spec.empty !== null && spec.silence === null && (
        <text class="i halo" x={widthPx / 2} y={heightPx / 2} text-anchor="middle">
          {spec.empty}
        </text>
      )}
      {spec.head && (
        <>
          <circle class={`ring ${tone}`} cx={x(spec.head.atMs)} cy={y(spec.head.value)} r={4.5} />
          <HeadText
            text={spec.head.text}
            tone={tone}
            x={x(Math.max(nowMs, spec.head.atMs))}
            y={y(spec.head.value)}
            topY={y(Math.max(spec.head.value, spec.head.clearOf ?? spec.head.value))}
            uprightX={spec.arrival?.words === 'above' ? x(spec.arrival.ringMs ?? spec.arrival.fromMs) : null}
            left={spec.head.besideFan === true}
            widthPx={widthPx}
            heightPx={heightPx}
          />
        </>
      )}
    </svg>
  );
}

/** To the right of now where there is room, else to its left; inside the lane in any case. */
function HeadText(props: {
  text: string;
  tone: string;
  x: number;
  y: number;
  topY: number;
  /** Of the arrival's words: not through these. */
  uprightX: number | null;
  /** To the left of now in any case: on its right a fan begins. */
  left: boolean;
  widthPx: number;
  heightPx: number;
}) {
  const needed = props.text.length * 9 + 14;
  const endX = props.x + 12 + props.text.length * 8;
  const crossed = props.uprightX !== null && props.uprightX > props.x && props.uprightX < endX;
  const right = props.x + needed <= props.widthPx && !crossed && !props.left;
  const above = props.topY > 26;
  return (
    <text
      class={`${props.tone} halo head`}
      x={right ? props.x + 10 : props.x - 10}
      y={above ? props.topY - 10 : props.y + 22}
      text-anchor={right ? 'start' : 'end'}
    >
      {props.text}
    </text>
  );
}

function Level(props: {
  mark: LaneMark;
  y: number;
  heightPx: number;
  widthPx: number;
  narrow: boolean;
  below?: boolean;
  bold?: boolean;
}) {
  const { mark, y } = props;
  return (
    <>
      <line class={props.bold ? 'lim' : 'tick'} x1={0} x2={props.widthPx} y1={y} y2={y} />
      <text
        class={props.bold ? 'b halo' : 'halo'}
        x={4}
        y={Math.min(props.heightPx - 4, Math.max(12, props.below ? y + 15 : y - 6))}
      >
        {mark.label}
        {!props.narrow && mark.sub}
      </text>
    </>
  );
}

/** Nothing heard: a broken hatch up to now, an upright where it began, an × where the line ends. */
function Silence(
  props: LaneProps & {
    x: (atMs: number) => number;
    words: readonly string[];
    fromMs: number;
  },
) {
  const { spec, range, heightPx, widthPx, nowMs, x } = props;
  if (props.fromMs >= range.toMs) return null;
  const fromX = Math.max(0, x(props.fromMs));
  const toX = spec.silence?.toEnd ? widthPx : Math.min(widthPx, x(Math.max(nowMs, props.fromMs)));
  const main = spec.lines[0];
  const endValue = main && props.fromMs >= range.fromMs ? valueNear(main, props.fromMs) : null;
  const endY = endValue === null ? null : toY(spec.scale, heightPx, endValue);
  // To the right where the longest words fit, else to the left of where it began.
  const longest = Math.max(...props.words.map((words) => words.length));
  const right = widthPx - fromX > longest * CHARACTER_PX + 14;
  const textX = right ? fromX + 10 : fromX - 10;
  // In the half that the line does not end in.
  const firstY = endY !== null && endY < heightPx / 2 ? heightPx - 14 - 18 * (props.words.length - 1) : 34;
  return (
    <>
      <rect class="paper" x={fromX} y={0} width={Math.max(0, toX - fromX)} height={heightPx} />
      <rect x={fromX} y={0} width={Math.max(0, toX - fromX)} height={heightPx} fill="url(#broken)" />
      {x(props.fromMs) >= 0 && <line class="cur" x1={fromX} x2={fromX} y1={0} y2={heightPx} />}
      {endY !== null && <path class="lim end" d={`M${fromX - 5} ${endY - 5}l10 10m0 -10l-10 10`} />}
      {props.words.map((words, line) => (
        <text
          class={line === 0 ? 'at halo' : 'i halo'}
          x={textX}
          y={firstY + line * 18}
          text-anchor={right ? 'start' : 'end'}
          key={words}
        >
          {words}
        </text>
      ))}
    </>
  );
}

/** A second line is named where it is, a little right of its beginning, on the side away from the first. */
function LineName(
  props: LaneProps & {
    line: LaneLine;
    order: number;
    x: (atMs: number) => number;
    y: (value: number) => number;
  },
) {
  const { line, spec, range, heightPx, widthPx } = props;
  const beyond = (value: number): boolean => value > spec.scale.high || value < spec.scale.low;
  const last = line.values.at(-1);
  // A line that has left the scale is named at the edge, right of where it left, with its value.
  if (last !== undefined && beyond(last)) {
    const left = line.values.findLastIndex((value) => !beyond(value));
    const leftX = left < 0 ? 0 : Math.max(0, props.x(line.atMs[left] ?? range.fromMs));
    const words = PLATE.offScale(line.name, sayValue(spec, last));
    const needed = words.length * CHARACTER_PX;
    // *Now* and the newest value's words, right of it or at the lane's end, have their place to themselves.
    const headX = Math.min(spec.head ? props.x(spec.head.atMs) : widthPx, widthPx - HEAD_WORDS_PX);
    const crowded = leftX + 8 + needed > headX && leftX < headX + HEAD_WORDS_PX;
    const toLeft = leftX > needed + 8 && crowded;
    // Nor do they stand through the ceiling's words, at the top left.
    const { ceiling } = spec;
    const ceilingPx = ceiling
      ? (ceiling.label.length + (props.narrow ? 0 : (ceiling.sub?.length ?? 0))) * CHARACTER_PX
      : 0;
    const startX = toLeft ? leftX - 8 - needed : leftX + 8;
    const throughCeiling = ceiling !== undefined && last > spec.scale.high && startX < ceilingPx + 8;
    if (throughCeiling && props.y(ceiling.value) < 36) return null;
    // Of all words these give way first: the value stands in the table and in the station's row.
    if (crowded && !toLeft) return null;
    return (
      <text
        class="halo"
        x={toLeft ? leftX - 8 : leftX + 8}
        y={last > spec.scale.high ? 14 : heightPx - 6}
        text-anchor={toLeft ? 'end' : 'start'}
      >
        {words}
      </text>
    );
  }
  const firstMs = Math.max(range.fromMs, line.atMs[0] ?? range.fromMs);
  // Each a little further along, so that lines that lie together keep their names apart; past gaps where there are any.
  const spanMs = range.toMs - range.fromMs;
  const places = NAME_PLACES.map((share) => firstMs + (share + 0.09 * props.order) * spanMs);
  const atMs = places.find((place) => valueNear(line, place) !== null);
  const value = atMs === undefined ? null : valueNear(line, atMs);
  if (atMs === undefined || value === null) return null;
  const own = props.y(value);
  const main = spec.lines[0];
  const other = main === undefined || main === line ? null : valueNear(main, atMs);
  const below = other === null || props.y(other) <= own;
  const wanted = below ? own + BESIDE_PX : own - 8;
  return (
    <text class="halo" x={props.x(atMs)} y={Math.min(heightPx - 4, Math.max(12, wanted))}>
      {line.name}
    </text>
  );
}
