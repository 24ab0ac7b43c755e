/** Setup's work: which ports there are, what is heard on them, and the bench file of a first run. */
import { existsSync, mkdirSync, writeFileSync } from 'node:fs';
import { dirname } from 'node:path';
import type { Readable } from 'node:stream';
import type { FirstBench, HeardWire, SetupState } from '../api/messages-setup.ts';
import type { SetupOutcome, SetupView } from '../api/routes-setup.ts';
import type { Clock } from '../clock.ts';
import { readBench } from '../config/read-bench.ts';
import { guessHeard, type LinesGuess } from '../intake/guess/guess-lines.ts';
import { legible } from '../intake/guess/line-shape.ts';
import { createSourceLines, decodeSourceLine } from '../intake/source-lines.ts';
import { findMaterial, MATERIAL_KEYS } from '../physics/materials.ts';
import { THINGS } from '../physics/things.ts';
import { nameInList } from '../planner/material-names.ts';
import { listPorts } from '../serial/list-ports.ts';
import { SourceError } from '../serial/trouble.ts';
import { firstBenchText, type HeardSource } from './first-bench.ts';
import { hearPort } from './hear-port.ts';

export interface SetupParts {
  /** Bench file in use; null while the bench is simulated. */
  readonly benchFile: string | null;
  /** Where a first run writes; null where nothing may be written. */
  readonly writesTo: string | null;
  readonly clock: Clock;
  readonly input: Readable;
  /** Ports that the bench reads already: opening them a second time would take bytes from it. */
  readonly taken: readonly string[];
  /** The new bench file is on the disk: begin anew with it. */
  written(): void;
}

/** A board that speaks every few seconds is heard twice in this time. */
const LISTEN_S = 8;
const LINES_SHOWN = 4;
/** Ports remembered; more than any bench has. */
const MOST_PORTS = 32;
/** One port at a time resets no more boards than the person asked for, and is easier to follow. */
const MOST_AT_ONCE = 3;

interface OnPort {
  /** Stays the same over reboots and sockets; null where the system makes none. */
  readonly lastingPath: string | null;
  readonly heard: HeardWire;
  readonly lines: readonly string[];
  readonly guess: LinesGuess | null;
}

export function createSetupDesk(parts: SetupParts): SetupView {
  const ports = new Map<string, OnPort>();
  const canWrite = (): boolean => parts.writesTo !== null && !existsSync(parts.writesTo);

  const listen = async (path: string): Promise<void> => {
    let lastingPath: string | null = null;
    const keep = (heard: Partial<HeardWire>, rest: Partial<OnPort> = {}): void => {
      const before = ports.get(path);
      ports.set(path, {
        lastingPath,
        heard: { ...EMPTY, ...before?.heard, ...heard },
        lines: rest.lines ?? before?.lines ?? [],
        guess: rest.guess ?? before?.guess ?? null,
      });
    };
    ports.delete(path);
    keep({ state: 'listening' });
    const listing = await listPorts();
    lastingPath = listing.ports.find((port) => port.path === path)?.byIdPath ?? null;
    try {
      const { heard, baud } = await hearPort(path, parts, LISTEN_S, {
        trying: (trying) => keep({ baud: trying, lines: [] }),
        line: (line) =>
          keep({ lines: [...(ports.get(path)?.heard.lines ?? []), show(line)].slice(-LINES_SHOWN) }),
      });
      if (heard.outcome !== 'text') keep({ state: 'nothing', sentences: [whyNothing(heard.outcome)] });
      else understand(path, heard.lines, null, baud);
    } catch (error) {
      if (!(error instanceof SourceError)) throw error;
      // What the list may lack stands once above it, not again at every port.
      keep({ state: 'failed', sentences: [error.message.replace(` ${listing.note}`, '')] });
    }
  };

  const understand = (
    path: string,
    lines: readonly string[],
    columns: readonly string[] | null,
    baud: number | null,
  ): void => {
    const guess = guessHeard(lines, columns);
    const readable = guess.patterns.length + guess.stations.length > 0;
    ports.set(path, {
      lastingPath: ports.get(path)?.lastingPath ?? null,
      lines,
      guess,
      heard: {
        state: readable ? 'heard' : 'nothing',
        baud,
        lines: lines.slice(-LINES_SHOWN).map(show),
        sentences: [
          ...(readable ? [] : ['Text comes, but it holds nothing that lowdew can read.']),
          ...guess.doubts,
        ],
        stations: valuesOf(path, lines, guess),
        columns: guess.patterns.flatMap((pattern) =>
          pattern.columns.map(({ key, sample, why, sure }) => ({ key, sample, why, sure })),
        ),
      },
    });
  };

  return {
    async state(): Promise<SetupState> {
      const { ports: found, note } = await listPorts();
      const byPath = new Map(found.map((port) => [port.path, port]));
      const paths = new Set([...byPath.keys(), ...ports.keys()]);
      return {
        benchFile: parts.benchFile,
        writesTo: canWrite() ? parts.writesTo : null,
        ports: [...paths].map((path) => ({
          path,
          lastingPath: byPath.get(path)?.byIdPath ?? null,
          manufacturer: byPath.get(path)?.manufacturer ?? null,
          serialNumber: byPath.get(path)?.serialNumber ?? null,
          heard: ports.get(path)?.heard ?? null,
        })),
        portsNote: note,
      };
    },
    listen({ path, columns }): SetupOutcome {
      const before = ports.get(path);
      if (columns) {
        if (!before?.guess)
          return refuse('bad-value', `Nothing was heard on ${path} yet: listen to it first.`);
        understand(path, before.lines, columns, before.heard.baud);
        return { ok: true };
      }
      if (parts.taken.includes(path))
        return refuse(
          'bad-value',
          `${path} is read by the bench already; its lines are on the Bench screen.`,
        );
      if (before?.heard.state === 'listening') return { ok: true };
      const busy = [...ports.values()].filter(({ heard }) => heard.state === 'listening').length;
      if (busy >= MOST_AT_ONCE)
        return refuse('bad-value', 'Three ports are being listened to; wait until one is done.');
      if (ports.size >= MOST_PORTS && !before)
        return refuse('bad-value', 'Too many ports were listened to: take some off the list.');
      void listen(path);
      return { ok: true };
    },
    forget({ path }): SetupOutcome {
      if (ports.get(path)?.heard.state === 'listening')
        return refuse('bad-value', `${path} is being listened to: wait the few seconds until that is done.`);
      ports.delete(path);
      return { ok: true };
    },
    write(said) {
      const path = parts.writesTo;
      if (path === null || !canWrite())
        return refuse(
          'bad-value',
          `There is a bench file already (${parts.benchFile ?? path ?? 'named at the start'}); it is never rewritten. Change it with a text editor, then restart lowdew.`,
        );
      const heard = sourcesOf(said, ports);
      if (typeof heard === 'string') return refuse('bad-value', heard);
      const text = firstBenchText(said, heard);
      const reading = readBench(text, path, { materials: MATERIAL_KEYS, things: Object.keys(THINGS) });
      if (!reading.ok) return refuse('bad-value', reading.mistakes.map(({ message }) => message).join(' '));
      try {
        mkdirSync(dirname(path), { recursive: true });
        writeFileSync(path, text, { flag: 'wx' });
      } catch (error) {
        return refuse('not-kept', `${path} cannot be written: ${(error as Error).message}.`);
      }
      parts.written();
      return { ok: true, path, text };
    },
    materials: () => ({
      materials: MATERIAL_KEYS.flatMap((key) => {
        const found = findMaterial(key);
        if (!found.ok) return [];
        const { material } = found;
        return [
          {
            key,
            name: nameInList(key, material.name),
            printingLimitWtPercent: material.printingLimitWtPercent,
            resinGuideLimitWtPercent: material.resinGuideLimitWtPercent,
            usualDryingC: material.usualDryingC,
            highestDryingC: material.highestDryingC,
            usualDryingHours: [...material.usualDryingHours],
            softening: material.softening,
            evidence: material.evidence.map((row) => ({ ...row, sources: [...row.sources] })),
          },
        ];
      }),
      things: Object.entries(THINGS).map(([key, { name, ceilingC, reason }]) => ({
        key,
        name,
        ceilingC,
        reason,
      })),
    }),
  };
}

const EMPTY: HeardWire = {
  state: 'listening',
  baud: null,
  lines: [],
  sentences: [],
  stations: [],
  columns: [],
};

const refuse = (reason: 'bad-value' | 'not-kept', detail: string) => ({ ok: false as const, reason, detail });

const show = (line: string): string => legible(line).slice(0, 120);

function whyNothing(outcome: string): string {
  switch (outcome) {
    case 'silent':
      return `It is open, but nothing came in ${LISTEN_S} s. Has the board power, and does its sketch print by itself?`;
    case 'endless':
      return 'Text comes, but no line ends in it: let the sketch end each reading with a line feed (println).';
    case 'noise':
    case 'unsure':
      return 'Bytes come, but at none of the usual speeds are they text.';
    default:
      return 'The port closed before a line was whole.';
  }
}

/** Newest values by station, as the bench would take them in. */
function valuesOf(path: string, lines: readonly string[], guess: LinesGuess): HeardWire['stations'] {
  const patterns = guess.patterns.map(({ take }) => ({ source: path, station: WHOLE_PORT, take }));
  const decoder = createSourceLines(patterns);
  const found = new Map<string, Record<string, number>>();
  for (const line of lines) {
    const decoded = decodeSourceLine(decoder, path, line, { wallMs: 0, monotonicMs: 0 });
    if (!decoded.ok || decoded.line.kind === 'hello') continue;
    found.set(decoded.line.station, { ...found.get(decoded.line.station), ...decoded.line.values });
  }
  return [...found].map(([id, values]) => ({ id: id === WHOLE_PORT ? '' : id, values }));
}
/** Stands for the station of a port whose lines name none. */
const WHOLE_PORT = 'whole-port';

function sourcesOf(said: FirstBench, ports: ReadonlyMap<string, OnPort>): readonly HeardSource[] | string {
  const sources: HeardSource[] = [];
  for (const path of new Set(said.stations.map(({ port }) => port))) {
    const port = ports.get(path);
    if (!port?.guess || port.heard.state !== 'heard' || port.heard.baud === null)
      return `Nothing that lowdew can read was heard on ${path}: listen to it first.`;
    sources.push({ path, lastingPath: port.lastingPath, baud: port.heard.baud, guess: port.guess });
  }
  return sources;
}
