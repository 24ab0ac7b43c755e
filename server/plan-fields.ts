/**
 * Ground: the blanks of the planner's questions, with units, limits and what stands in them at first. The page, the
 * command line and the HTTP interface all ask by this table, so that none of them allows what another refuses.
 */
export const PLAN_KINDS = ['dry', 'lie-out', 'store', 'fit', 'air'] as const;
export type PlanKind = (typeof PLAN_KINDS)[number];

export interface NumberField {
  readonly kind: 'number';
  /** How a sentence calls it. */
  readonly name: string;
  readonly unit: string;
  readonly low: number;
  readonly high: number;
  /** Null: it may stay empty, and the materials table is asked. */
  readonly usual: number | null;
}
export interface ChoiceField {
  readonly kind: 'choice';
  readonly name: string;
  readonly options: readonly string[];
  readonly usual: string;
}
/** A key of the materials table. */
export interface MaterialField {
  readonly kind: 'material';
  readonly name: string;
  readonly usual: string;
}
export type PlanField = NumberField | ChoiceField | MaterialField;

const number = <U extends number | null>(
  name: string,
  unit: string,
  low: number,
  high: number,
  usual: U,
): NumberField & { readonly usual: U } => ({
  kind: 'number',
  name,
  unit,
  low,
  high,
  usual,
});
const choice = (name: string, options: readonly string[], usual: string): ChoiceField => ({
  kind: 'choice',
  name,
  options,
  usual,
});

const material: MaterialField = { kind: 'material', name: 'material', usual: 'pa6' };
const netMassG = number('mass of filament', 'g', 20, 5000, 1000);
const roomC = number('room temperature', '°C', 0, 45, 22);
const roomRhPercent = number('humidity of the room', '%RH', 1, 99, 45);
/** Left empty: half the limit, as of a spool that was dried well. */
const startWtPercent = number('moisture at the start', 'wt %', 0, 15, null);
const limitWtPercent = number('limit', 'wt %', 0.001, 5, null);

export const PLAN_FIELDS = {
  dry: {
    netMassG,
    material,
    stored: choice(
      'where it lay',
      ['sealed-new', 'desiccant', 'room', 'damp', 'unknown', 'weighed'],
      'unknown',
    ),
    /** Counts with `stored` = weighed. */
    startWtPercent: number('moisture at the start', 'wt %', 0.001, 15, 1),
    /** Left empty: what is usual for the material. */
    boxC: number('temperature of the box', '°C', 25, 150, null),
    supply: choice('air that comes into the box', ['room', 'desiccant', 'closed'], 'room'),
    roomC,
    roomRhPercent,
    limitWtPercent,
  },
  'lie-out': {
    netMassG,
    material,
    startWtPercent,
    roomC,
    roomRhPercent,
    limitWtPercent,
  },
  store: {
    netMassG,
    material,
    startWtPercent,
    film: choice(
      'film of the bag',
      ['ldpe', 'hdpe', 'pp-oriented', 'pet', 'pa6', 'flexed-foil', 'barrier'],
      'ldpe',
    ),
    /** Counts for plain films; foil and barrier bags are rated as they are. */
    thicknessUm: number('thickness of the film', 'µm', 10, 1000, 100),
    bagAreaM2: number('area of the bag, both sides', 'm²', 0.02, 3, 0.3),
    desiccant: choice('desiccant', ['gel', 'sieve'], 'gel'),
    desiccantG: number('mass of desiccant', 'g', 0, 2000, 50),
    roomC,
    roomRhPercent,
    limitWtPercent,
  },
  fit: {
    material,
    sizeMm: number('dimension of the part', 'mm', 0.5, 2000, 50),
    wallMm: number('thickness of the wall', 'mm', 0.2, 50, 3),
    startWtPercent: number('moisture as printed', 'wt %', 0, 15, null),
    roomC,
    roomRhPercent,
  },
  air: {
    airTemperatureC: number('air temperature', '°C', -40, 120, 22),
    relativeHumidityPercent: number('humidity', '%RH', 0, 100, 45),
    heatedToC: number('temperature it is heated to', '°C', -40, 120, 70),
    pressureHPa: number('air pressure', 'hPa', 300, 1100, 1013.25),
  },
} as const satisfies Readonly<Record<PlanKind, Readonly<Record<string, PlanField>>>>;

type ValueOf<F> = F extends { readonly kind: 'number'; readonly usual: infer U }
  ? null extends U
    ? number | null
    : number
  : string;
export type PlanQuestion<K extends PlanKind> = {
  readonly [F in keyof (typeof PLAN_FIELDS)[K]]: ValueOf<(typeof PLAN_FIELDS)[K][F]>;
};

/** One thing wrong with a question: which blank, a stable reason, and a sentence. */
export interface PlanMistake {
  readonly field: string;
  readonly reason: 'unknown-field' | 'no-number' | 'out-of-range' | 'no-such-choice' | 'not-together';
  readonly detail: string;
}
