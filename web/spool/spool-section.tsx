/**
 * The spool in section, beside the plate: above, moisture across the winding on the plate's own axis; at the ruler's
 * height a ruler of grams from the outside in; below, the same radii as rings. Nothing is drawn on a second scale.
 */
import type { Drying } from '../../server/api/messages.ts';
import { moisture, moistureRange } from '../format.ts';
import { layoutPlate } from '../ruler/plate-layout.ts';
import { toY } from '../ruler/scale.ts';
import { countedOnG, grams, isAllCountedOn, likelyG } from '../usable.ts';
import { SPOOL, WINDING } from '../words/spool.ts';
import { Profile } from './profile.tsx';
import { Rings } from './rings.tsx';
import type { SectionFrame, SectionProps } from './section-frame.ts';
import { radiusOfGrams, windingOf } from './winding.ts';

/** Left of the axis of the spool, and right of its outermost turn. */
const CENTRE_PX = 18;
const RIGHT_PX = 18;
const TAIL_PX = 24;

export function SpoolSection(props: SectionProps) {
  const { spool, scale, widthPx, format, nowMs } = props;
  // Its heights are those of the wide plate that it stands beside; beneath a narrow one they are its own.
  const plate = layoutPlate(widthPx, false);
  const winding = windingOf(spool.netMassG);
  const pxPerMm = (widthPx - CENTRE_PX - RIGHT_PX) / winding.outerMm;
  const centreY = plate.lowerTopPx;
  const frame: SectionFrame = {
    winding,
    centreX: CENTRE_PX,
    centreY,
    pxPerMm,
    widthPx,
    x: (radiusMm) => CENTRE_PX + pxPerMm * radiusMm,
    y: (wtPercent) => plate.upperTopPx + toY(scale, plate.upperPx, wtPercent),
    topPx: plate.upperTopPx,
    bottomPx: plate.stripTopPx,
  };
  const outerY = centreY + pxPerMm * winding.outerMm;
  const sinceMs = props.unknownSinceMs;
  const { label, hatched } = sectionWords(props);
  return (
    <svg class="section" width={widthPx} height={outerY + TAIL_PX} role="img" aria-label={label}>
      <Profile {...props} frame={frame} hatched={hatched} />
      <GramRuler frame={frame} topPx={plate.stripTopPx} heightPx={plate.stripPx} />
      <Rings {...props} frame={frame} />
      <path class="lim free" d={`M${CENTRE_PX} ${outerY + 1}H${widthPx - 6}`} />
      <path class="ink" d={`M${widthPx} ${outerY + 1}l-9 -4v8z`} />
      <text x={widthPx} y={outerY + 18} text-anchor="end">
        {WINDING.outsideFirst}
      </text>
      <text x={CENTRE_PX} y={outerY + 18}>
        {sinceMs === null ? WINDING.at(format.clock(nowMs)) : WINDING.asOf(format.when(sinceMs, nowMs))}
      </text>
    </svg>
  );
}

/** The drawing in a sentence; and whether the floor is hatched as it is on the plate. */
function sectionWords(props: SectionProps): { label: string; hatched: boolean } {
  const { spool, unknownSinceMs, format, nowMs } = props;
  if (unknownSinceMs !== null)
    return { label: WINDING.labelUnknown(format.when(unknownSinceMs, nowMs)), hatched: false };
  const wet = spool.drying.wettestTurnWtPercent;
  const usable = isAllCountedOn(spool)
    ? WINDING.all(grams(countedOnG(spool)))
    : WINDING.usable(grams(countedOnG(spool)), grams(likelyG(spool)));
  const wettest = `${SPOOL.percent(moisture(wet.p50))} (${moistureRange(wet)})`;
  return { label: WINDING.label(wettest, usable), hatched: !KEPT.has(spool.drying.state) };
}

const KEPT: ReadonlySet<Drying['state']> = new Set(['holding', 'regaining', 'idle', 'unknown']);

/** Grams from the outside in, at the height of the time ruler. */
function GramRuler({ frame, topPx, heightPx }: { frame: SectionFrame; topPx: number; heightPx: number }) {
  const { winding, x } = frame;
  const [left, right] = [x(winding.hubMm), x(winding.outerMm)];
  const smallG = winding.netG > 600 ? 100 : winding.netG > 250 ? 50 : 20;
  const ticks = Array.from({ length: Math.floor(winding.netG / smallG) + 1 }, (_, index) => index * smallG);
  // A word at each long tick that has room beside the one before it, from the outside in.
  let freeX = Number.POSITIVE_INFINITY;
  return (
    <g>
      <rect class="well" x={left} y={topPx} width={right - left} height={heightPx} />
      {ticks.map((outerG, index) => {
        const tickX = x(radiusOfGrams(winding, outerG));
        const worded = index % 2 === 0 && tickX < freeX - 34 && tickX > left + 12;
        if (worded) freeX = tickX;
        const length = index % 2 === 0 ? 9 : 4;
        return (
          <g key={outerG}>
            <path class="tick" d={`M${tickX} ${topPx}v${length}M${tickX} ${topPx + heightPx}v${-length}`} />
            {worded && (
              <text
                class="i"
                x={tickX}
                y={topPx + heightPx / 2 + 4}
                text-anchor={outerG === 0 ? 'end' : 'middle'}
              >
                {outerG === 0 ? WINDING.zero : outerG}
              </text>
            )}
          </g>
        );
      })}
      <text x={left - 12} y={topPx + heightPx / 2 + 4} text-anchor="end">
        {WINDING.fromOutside}
      </text>
    </g>
  );
}
