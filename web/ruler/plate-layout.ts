/** Where the parts of the plate lie, in px. Text is never scaled: the measured width decides, not a view box. */
export interface PlateLayout {
  readonly narrow: boolean;
  readonly leftPx: number;
  /** Of lanes and ruler, without the axis at their left. */
  readonly widthPx: number;
  readonly upperTopPx: number;
  readonly upperPx: number;
  readonly stripTopPx: number;
  readonly stripPx: number;
  readonly lowerTopPx: number;
  readonly lowerPx: number;
  readonly bottomPx: number;
  readonly heightPx: number;
}

const NARROW_BELOW_PX = 560;
/** Height above the upper lane for its title and the word over *now*. */
const HEAD_PX = 30;
/** Where there is little room they stand on lines of their own: a title may reach *now*. */
const NARROW_HEAD_PX = 48;
export const TITLE_OVER_LANE_PX = { wide: 16, narrow: 34 } as const;
const UPPER_PX = 216;
const STRIP_PX = 38;
const LOWER_PX = 192;
/** Height below the lower lane for its title. */
const TAIL_PX = 26;

export function layoutPlate(outerWidthPx: number, narrow = outerWidthPx < NARROW_BELOW_PX): PlateLayout {
  const leftPx = narrow ? 30 : 44;
  const upperTopPx = narrow ? NARROW_HEAD_PX : HEAD_PX;
  const stripTopPx = upperTopPx + UPPER_PX;
  const lowerTopPx = stripTopPx + STRIP_PX;
  const bottomPx = lowerTopPx + LOWER_PX;
  return {
    narrow,
    leftPx,
    widthPx: Math.max(0, Math.floor(outerWidthPx - leftPx)),
    upperTopPx,
    upperPx: UPPER_PX,
    stripTopPx,
    stripPx: STRIP_PX,
    lowerTopPx,
    lowerPx: LOWER_PX,
    bottomPx,
    heightPx: bottomPx + TAIL_PX,
  };
}
