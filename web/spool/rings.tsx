/** The winding from above: rings tinted by class, the usable outer ones between two thick arcs, and their grams. */
import { countedOnG, grams, isAllCountedOn, leftG, likelyG } from '../usable.ts';
import { WINDING } from '../words/spool.ts';
import type { SectionFrame, SectionProps } from './section-frame.ts';
import { radiusOfGrams, tintOf, turnAt } from './winding.ts';

const RINGS = 24;
const BORE_MM = 14;
/** Where along the quarter the leader from the usable turns leaves, rad. */
const LEADER_AT = 0.86;

export function Rings(props: SectionProps & { frame: SectionFrame }) {
  const { spool, frame, unknownSinceMs } = props;
  const { winding, centreX, centreY, pxPerMm, x } = frame;
  const { profileWtPercent } = spool.drying;
  const known = unknownSinceMs === null;
  const arc = (radiusMm: number): string => {
    const px = pxPerMm * radiusMm;
    return `M${x(radiusMm)} ${centreY}A${px} ${px} 0 0 1 ${centreX} ${centreY + px}`;
  };
  const goneMm = radiusOfGrams(winding, spool.takenG);
  const depth = winding.outerMm - winding.hubMm;
  const rings = Array.from({ length: RINGS }, (_, index) => {
    const inner = winding.hubMm + (depth * index) / RINGS;
    const outer = winding.hubMm + (depth * (index + 1)) / RINGS;
    return { inner, outer, middle: (inner + outer) / 2 };
  });
  const hairMm = 0.9 / pxPerMm;
  const boreX = x(BORE_MM);
  return (
    <g>
      {rings.map(({ inner, outer, middle }) => {
        // Printed: no turn is there any more.
        if (middle > goneMm) return null;
        if (!known) return <path class="ghost" d={arc(middle)} key={middle} />;
        const w = turnAt(winding, profileWtPercent, middle).p50;
        const [a, b] = [inner, outer - hairMm];
        const [aPx, bPx] = [pxPerMm * a, pxPerMm * b];
        return (
          <path
            class={`w${tintOf(w, spool.limitWtPercent)}`}
            d={`M${x(a)} ${centreY}A${aPx} ${aPx} 0 0 1 ${centreX} ${centreY + aPx}L${centreX} ${centreY + bPx}A${bPx} ${bPx} 0 0 0 ${x(b)} ${centreY}Z`}
            key={middle}
          />
        );
      })}
      <path class="edge" d={arc(winding.hubMm - 0.4)} />
      <path class="bore" d={arc(BORE_MM)} />
      <line
        class="tick"
        x1={centreX}
        x2={centreX}
        y1={centreY + pxPerMm * BORE_MM}
        y2={centreY + pxPerMm * winding.outerMm + 2}
      />
      <line class="tick" x1={boreX} x2={x(winding.outerMm) + 2} y1={centreY} y2={centreY} />
      <text class="b" x={boreX + 2} y={centreY + 24}>
        {spool.id}
      </text>
      <text x={boreX + 2} y={centreY + 41}>
        {WINDING.what(spool.materialKey.toUpperCase().replaceAll('_', ' '), grams(leftG(spool)))}
      </text>
      {known ? <Usable {...props} arc={arc} /> : <NotKnown {...props} />}
    </g>
  );
}

function Usable(props: SectionProps & { frame: SectionFrame; arc: (radiusMm: number) => string }) {
  const { spool, frame, arc } = props;
  const { winding, centreX, centreY, pxPerMm, widthPx } = frame;
  const [sureG, likeG] = [countedOnG(spool), likelyG(spool)];
  const all = isAllCountedOn(spool);
  const sureMm = all ? winding.hubMm : radiusOfGrams(winding, spool.takenG + sureG);
  const likeMm = radiusOfGrams(winding, spool.takenG + likeG);
  const goneMm = radiusOfGrams(winding, spool.takenG);
  const at = (radiusMm: number) => ({
    x: centreX + pxPerMm * radiusMm * Math.cos(LEADER_AT),
    y: centreY + pxPerMm * radiusMm * Math.sin(LEADER_AT),
  });
  const [inside, outside] = [at((sureMm + goneMm) / 2), at(winding.outerMm + 5)];
  const wordsY = centreY + pxPerMm * winding.outerMm - 2;
  return (
    <>
      {likeG > sureG && <path class="likely" d={arc(Math.max(winding.hubMm, likeMm))} />}
      {sureG > 0 && (
        <>
          {!all && <path class="edge" d={arc(sureMm)} />}
          <path class="edge" d={arc(goneMm)} />
          <circle class="ink" cx={inside.x} cy={inside.y} r={3} />
          <line class="cur" x1={inside.x} y1={inside.y} x2={outside.x} y2={outside.y} />
        </>
      )}
      <text class="big" x={widthPx} y={wordsY - 44} text-anchor="end">
        {all ? WINDING.all(grams(sureG)) : grams(sureG)}
      </text>
      <text class="i" x={widthPx} y={wordsY - 26} text-anchor="end">
        {sureG > 0 ? WINDING.countedOn : likeG > 0 ? WINDING.noneSure : WINDING.none}
      </text>
      {likeG > sureG && (
        <text x={widthPx} y={wordsY - 9} text-anchor="end">
          {WINDING.likely(grams(likeG))}
        </text>
      )}
    </>
  );
}

function NotKnown({ frame, unknownSinceMs, nowMs, format }: SectionProps & { frame: SectionFrame }) {
  const { widthPx } = frame;
  const y = frame.centreY + frame.pxPerMm * frame.winding.outerMm - 2;
  return (
    <>
      <text class="unknown" x={widthPx} y={y - 42} text-anchor="end">
        {WINDING.notKnown}
      </text>
      <text class="at" x={widthPx} y={y - 22} text-anchor="end">
        {WINDING.quietSince(format.when(unknownSinceMs ?? nowMs, nowMs))}
      </text>
      <text x={widthPx} y={y - 4} text-anchor="end">
        {WINDING.notTinted}
      </text>
    </>
  );
}
