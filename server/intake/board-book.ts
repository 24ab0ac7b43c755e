/** The boards that were heard, boot by boot: what their hellos said, where their counters stand, how often they began again. */
import type { LineHello, LineReading } from '../../firmware-protocol/line.ts';
import type { BoardSummary, Transition } from '../records.ts';
import type { BoardState } from './board-tracker.ts';
import { createRestarts, isTroubling, type RestartCounts, restartWords } from './restarts.ts';

/** One boot of one board. */
export interface Board {
  readonly source: string;
  /** As its hello says it; null before the first. */
  name: string | null;
  state: BoardState | null;
  facts: Readonly<Record<string, string>>;
  /** Numbers of its last line for each of its stations. */
  readonly lastByStation: Map<string, { readonly seq: number; readonly uptimeMs: number }>;
}

export interface BoardBook {
  /** The boot that a line belongs to, and that it was heard of, where it is new. */
  find(source: string, line: LineReading | LineHello, atMs: number): { board: Board; news: Transition[] };
  hello(board: Board, hello: LineHello, atMs: number): Transition[];
  /** Sensor parts that a hello named, of boards that speak for a station. */
  partsOf(station: string): readonly string[];
  summaries(): readonly BoardSummary[];
  /** By source, then by cause. */
  restarts(): Readonly<Record<string, RestartCounts>>;
  /** A hello says that nothing real stands behind it. */
  hearsSimulation(): boolean;
}

/** Boots remembered; a board that resets each second for a day must not fill the memory. */
const MOST_BOOTS = 64;

export function createBoardBook(): BoardBook {
  const boards = new Map<string, Board>();
  const restarts = createRestarts();
  return {
    find(source, { boot }, atMs) {
      const key = `${source} ${boot}`;
      const known = boards.get(key);
      if (known) {
        // Moved to the end: the first in the map is the one longest silent.
        boards.delete(key);
        boards.set(key, known);
        return { board: known, news: [] };
      }
      if (boards.size >= MOST_BOOTS) boards.delete(boards.keys().next().value as string);
      const board: Board = { source, name: null, state: null, facts: {}, lastByStation: new Map() };
      boards.set(key, board);
      const detail = `A board speaks on ${source}, boot ${boot}.`;
      return { board, news: [{ kind: 'board-seen', atMs, source, detail }] };
    },
    hello(board, hello, atMs) {
      const { source } = board;
      const isFirstOfBoot = board.name === null;
      const wasHeardBefore = [...boards.values()].some(
        (one) => one !== board && one.source === source && (one.name ?? hello.board) === hello.board,
      );
      board.name = hello.board;
      board.facts = hello.facts;
      if (!isFirstOfBoot || !wasHeardBefore) return [];
      const cause = hello.facts['reset'] ?? 'unknown';
      restarts.note(source, cause);
      const detail = `The board "${hello.board}" on ${source} began again: ${restartWords(cause)}.`;
      return [{ kind: 'board-restarted', atMs, source, detail, troubling: isTroubling(cause) }];
    },
    partsOf: (station) => [
      ...new Set(
        [...boards.values()].flatMap(({ facts, lastByStation }) =>
          lastByStation.has(station)
            ? Object.entries(facts).flatMap(([key, part]) => (key.startsWith('part.') ? [part] : []))
            : [],
        ),
      ),
    ],
    summaries: () =>
      [...boards.values()].flatMap(({ source, name, state }) => {
        if (!state) return [];
        const { boot, lines, lost, duplicates, late } = state;
        return [{ source, board: name, boot, lines, lost, duplicates, late }];
      }),
    restarts: () => restarts.all(),
    hearsSimulation: () => [...boards.values()].some(({ facts }) => facts['simulated'] === 'yes'),
  };
}
