/** The program's log: structured by pino; shown as plain sentences on a terminal, as JSON lines elsewhere. */
import pino, { type Logger } from 'pino';

export type LogFormat = 'text' | 'json';
export const LOG_LEVELS = ['error', 'warn', 'info', 'debug'] as const;
export type LogLevel = (typeof LOG_LEVELS)[number];

const WORD: Readonly<Record<number, string>> = {
  20: 'debug',
  30: 'info',
  40: 'warn',
  50: 'error',
  60: 'fatal',
};

/** `write` takes whole lines with their ends. */
export function createLog(level: LogLevel, format: LogFormat, write: (line: string) => void): Logger {
  const stream = {
    write(line: string) {
      if (format === 'json') {
        write(line);
        return;
      }
      const { time, level: number, msg, ...facts } = JSON.parse(line) as Record<string, unknown>;
      const clockTime = new Date(Number(time)).toISOString().slice(11, 19);
      const extra = Object.entries(facts).flatMap(([key, value]) =>
        key === 'pid' || key === 'hostname' ? [] : [`${key}=${JSON.stringify(value)}`],
      );
      write(`${clockTime} ${WORD[Number(number)] ?? number}  ${[msg, ...extra].join('  ')}\n`);
    },
  };
  return pino({ level, base: null }, stream);
}

/** Lets through the first of a kind, then one a minute with the count of those held back. */
export function createThinner(nowMs: () => number, everyMs = 60_000) {
  const told = new Map<string, { atMs: number; held: number }>();
  return (kind: string): { tell: boolean; held: number } => {
    const entry = told.get(kind);
    const now = nowMs();
    if (!entry || now - entry.atMs >= everyMs) {
      if (told.size > 1000) told.clear();
      told.set(kind, { atMs: now, held: 0 });
      return { tell: true, held: entry?.held ?? 0 };
    }
    entry.held++;
    return { tell: false, held: entry.held };
  };
}

export type Log = ReturnType<typeof createLog>;
export type Thinner = ReturnType<typeof createThinner>;
