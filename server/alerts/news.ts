/** News: told once a run, withdrawn in words if it stops being true, said again if it is true after all. */
import type { MissingReason } from './facts.ts';
import type { NewsFinding, Words } from './finding.ts';

export interface NewsLife {
  /** Names the run that it is about; null before the first. */
  readonly run: string | null;
  /** What holds of it: `true` and `false` after their delays. */
  readonly state: 'unknown' | 'true' | 'false';
  readonly towardsMs: number;
  readonly trueMs: number | null;
  /** What a person was last told: null nothing, in this run. */
  readonly told: { readonly state: 'true' | 'false'; readonly words: number; readonly agoMs: number } | null;
  readonly frozen: MissingReason | 'held' | null;
  readonly words: Words | null;
}

export const NO_NEWS: NewsLife = {
  run: null,
  state: 'unknown',
  towardsMs: 0,
  trueMs: null,
  told: null,
  frozen: null,
  words: null,
};

export type NewsChange = 'became-true' | 'withdrawn';

export function stepNews(
  life: NewsLife,
  finding: NewsFinding,
  delays: { readonly onDelayMs: number; readonly offDelayMs: number },
  elapsedMs: number,
  nowMs: number,
): { readonly life: NewsLife; readonly change: NewsChange | null } {
  const aged =
    life.told && elapsedMs > 0
      ? { ...life, told: { ...life.told, agoMs: life.told.agoMs + elapsedMs } }
      : life;
  if (finding.kind === 'missing' || finding.kind === 'held') {
    const frozen = finding.kind === 'held' ? 'held' : finding.reason;
    return { life: aged.frozen === frozen ? aged : { ...aged, frozen }, change: null };
  }
  // The run is over: what was true of it stays said, and its name stays known so that it is not told anew.
  if (finding.kind === 'no-run')
    return {
      life:
        aged.frozen === null && aged.words === null
          ? aged
          : { ...aged, frozen: null, words: null, towardsMs: 0 },
      change: null,
    };
  const base =
    finding.run === aged.run
      ? aged.frozen === null
        ? aged
        : { ...aged, frozen: null }
      : { ...NO_NEWS, run: finding.run };
  const isTrue = finding.kind === 'true';
  const words = isTrue ? finding.words : finding.withdrawal;
  const wanted = isTrue ? 'true' : 'false';
  if (base.state === wanted) return { life: { ...base, words, towardsMs: 0 }, change: null };
  const towardsMs = base.towardsMs + elapsedMs;
  const delayMs = isTrue ? delays.onDelayMs : base.state === 'true' ? delays.offDelayMs : 0;
  if (towardsMs < delayMs) return { life: { ...base, towardsMs }, change: null };
  const change = isTrue ? 'became-true' : base.state === 'true' ? 'withdrawn' : null;
  return {
    life: { ...base, state: wanted, towardsMs: 0, words, trueMs: isTrue ? nowMs : base.trueMs },
    change,
  };
}
