/**
 * A simulated bench: a scenario's workshop with its boards, advanced in virtual time. Bytes of the boards and entries
 * of the person come out in the order of time, each with its time of the story.
 */
import { type Board, simulatedBoard } from './board.ts';
import { seededRandom } from './random.ts';
import type { Scenario } from './scenario.ts';
import { openWorkshop, type Workshop } from './workshop.ts';

export type BenchEvent =
  | { readonly kind: 'bytes'; readonly atMs: number; readonly board: string; readonly bytes: string }
  | { readonly kind: 'entry'; readonly atMs: number; readonly entry: UserEntry };

/** As a person would enter it; rows of `@user` in a capture. */
export type UserEntry =
  | {
      readonly kind: 'weigh-in';
      readonly spool: string;
      readonly massG: number;
      readonly resolutionG: number;
    }
  | { readonly kind: 'lid'; readonly station: string };

export interface Bench {
  readonly scenario: Scenario;
  readonly workshop: Workshop;
  readonly boards: readonly Board[];
  readonly elapsedMs: number;
  /** Runs on and hands out what came meanwhile. */
  advance(ms: number, take: (event: BenchEvent) => void): void;
  /** Bytes from the host to a board. */
  receive(board: string, bytes: string): void;
}

/** Boards are asked in turns this short, so that the lines of several come in the order of time. */
const TURN_MS = 250;

export function simulatedBench(scenario: Scenario, seed = scenario.seed): Bench {
  const workshop = openWorkshop(scenario, seed);
  const random = seededRandom(seed).fork(`${scenario.name}-boards`);
  const boards = scenario.boards.map((spec) => {
    const own = random.fork(spec.board);
    const parts = new Set<string>();
    for (const id of spec.stations)
      for (const key of scenario.stations.find((station) => station.id === id)!.sensors) parts.add(key);
    return simulatedBoard(
      {
        board: spec.board,
        everyMs: spec.everyMs,
        stations: spec.stations,
        facts: parts.has('rh') ? { simulated: 'yes', 'part.rh': 'simulated' } : { simulated: 'yes' },
        startUptimeMs: spec.startUptimeMs ?? 0,
        clockPpm: own.normal(0, 40),
        resets: (spec.resets ?? []).map(({ atH, cause }) => ({ atS: atH * 3600, cause })),
        noise: (spec.noise ?? []).map(({ kind, atH, rate }) => ({
          kind,
          fromS: atH[0] * 3600,
          toS: atH[1] * 3600,
          ...(rate === undefined ? {} : { rate }),
        })),
      },
      (station, atS) => workshop.read(station, atS),
      own,
    );
  });
  const events = [...scenario.events].sort((a, b) => a.atH - b.atH);
  let elapsedMs = 0;

  const entries = (take: (event: BenchEvent) => void): void => {
    for (let next = events[0]; next !== undefined && next.atH * 3_600_000 <= elapsedMs; next = events[0]) {
      events.shift();
      workshop.moveTo(elapsedMs / 1000);
      const entry: UserEntry =
        next.kind === 'lid'
          ? { kind: 'lid', station: next.station }
          : {
              kind: 'weigh-in',
              spool: next.spool,
              massG: workshop.weigh(next.spool, next.resolutionG),
              resolutionG: next.resolutionG,
            };
      take({ kind: 'entry', atMs: elapsedMs, entry });
    }
  };

  return {
    scenario,
    workshop,
    boards,
    get elapsedMs() {
      return elapsedMs;
    },
    advance(ms, take) {
      const endMs = elapsedMs + ms;
      while (elapsedMs < endMs) {
        const turnMs = Math.min(TURN_MS, endMs - elapsedMs);
        elapsedMs += turnMs;
        for (const board of boards) {
          const bytes = board.advance(turnMs);
          if (bytes !== '') take({ kind: 'bytes', atMs: elapsedMs, board: board.board, bytes });
        }
        entries(take);
      }
    },
    receive(board, bytes) {
      for (const one of boards) if (one.board === board) one.receive(bytes);
    },
  };
}
