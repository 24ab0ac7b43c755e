/** What a person enters: read from a field, sent, and what became of it in words. */
import type { Entry } from '../server/api/messages.ts';
import { count, fixed, withUnit } from './format.ts';
import { ENTRY } from './words/spool.ts';

/** What is entered of spools and lids. */
export type BoxEntry = Exclude<Entry, { kind: `job-${string}` }>;

/** The server takes no more. */
const MOST_G = 50_000;
export const SCALE_STEPS_G = [0.01, 0.1, 0.5, 1, 2, 5, 10] as const;
export const USUAL_STEP_G = 1;

export type GramsRead =
  /** A `doubt` is said once; the value may be meant all the same. */
  | { readonly ok: true; readonly massG: number; readonly doubt: string | null }
  | {
      readonly ok: false;
      readonly reason: 'no-number' | 'too-little' | 'too-much';
      readonly detail: string;
    };

/** No reel is heavier, g (common practice, no source: those of a kilogram of filament weigh 100 to 400). */
const HEAVIEST_REEL_G = 1000;
/** More of the filament's mass than any of these polymers takes up as water (nylons in water: some 10 %). */
const MOST_WATER = 0.15;

/** A comma serves as a decimal point, spaces group; nothing else is guessed at. */
export function readGrams(text: string, netMassG: number, takenG = 0): GramsRead {
  const plain = text
    .trim()
    .replace(/\s?g$/i, '')
    .replace(/[\s\u2009\u00a0]/g, '')
    .replace(',', '.');
  if (!/^[+-]?\d+(\.\d*)?$|^[+-]?\.\d+$/.test(plain))
    return { ok: false, reason: 'no-number', detail: ENTRY.noNumber };
  const massG = Number(plain);
  if (massG <= 0) return { ok: false, reason: 'too-little', detail: ENTRY.tooLittle };
  if (massG >= MOST_G) return { ok: false, reason: 'too-much', detail: ENTRY.tooMuch };
  return { ok: true, massG, doubt: doubtOf(massG, netMassG, Math.max(0, netMassG - takenG)) };
}

function doubtOf(massG: number, netMassG: number, leftG: number): string | null {
  if (massG < leftG) return ENTRY.lessThanFilament(gramsText(leftG));
  const mostG = (1 + MOST_WATER) * netMassG + HEAVIEST_REEL_G;
  return massG > mostG ? ENTRY.moreThanReel(gramsText(netMassG)) : null;
}

/** Beside what the same spool weighed last: more apart than water and what jobs took could make it. */
export function doubtBeside(
  massG: number,
  lastG: number,
  { netMassG, takenG }: { readonly netMassG: number; readonly takenG: number },
): string | null {
  const waterG = MOST_WATER * netMassG;
  const fits = massG <= lastG + waterG && massG >= lastG - waterG - takenG;
  return fits ? null : ENTRY.farFromLast(gramsText(lastG));
}

const gramsText = (massG: number): string => withUnit(count(massG), 'g');

export const stepText = (stepG: number): string => String(stepG);

/** "weighed 742.5 g, scale step 0.5 g". */
export function sayEntry(entry: BoxEntry): string {
  if (entry.kind !== 'weigh-in') return ENTRY.kinds[entry.kind];
  const stepG = entry.resolutionG ?? USUAL_STEP_G;
  // What was typed more finely than the scale shows is sent so, and said so.
  const typed = String(entry.massG).split('.')[1]?.length ?? 0;
  const decimals = Math.max(typed, -Math.floor(Math.log10(stepG) + 1e-9), 0);
  return ENTRY.takenWeight(withUnit(fixed(entry.massG, decimals), 'g'), withUnit(stepText(stepG), 'g'));
}

export type Posted = { readonly ok: true } | { readonly ok: false; readonly sentence: string };
export type PostEntry = (entry: Entry) => Promise<Posted>;

/** The words of a refusal; the server's own where it gave any. */
export function refusalOf(status: number, body: unknown): string {
  const error = (body as { error?: { message?: unknown } } | null)?.error;
  return typeof error?.message === 'string' ? error.message : ENTRY.unexplained(status);
}

/** The same of an entry that was kept; kinds of other screens are said by their name. */
export function sayKept(entry: {
  readonly kind: string;
  readonly massG?: number;
  readonly resolutionG?: number;
}): string {
  const { kind, massG, resolutionG } = entry;
  if (kind === 'weigh-in' && massG !== undefined)
    return sayEntry({ kind, spool: '', massG, ...(resolutionG === undefined ? {} : { resolutionG }) });
  return (ENTRY.kinds as Readonly<Record<string, string>>)[kind] ?? kind.replaceAll('-', ' ');
}
