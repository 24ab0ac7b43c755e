/**
 * A microcontroller board that speaks LD1: a hello at its start and when asked, then one line per station at its
 * interval. Stepped in virtual time: `advance(ms)` gives the bytes it sent meanwhile, as latin1 text.
 *
 * Like the real ones it has a boot id of its own for each reset, counts its lines (uint32), tells its uptime (uint32
 * milliseconds, by a crystal that is a little off), answers `?` and `=<ms>`, and forgets all of it in a brown-out.
 */
import { encodeHello, encodeReading } from '../firmware-protocol/encode.ts';
import type { Fault } from '../firmware-protocol/line.ts';
import { lineNoise, type NoiseEvent } from './line-noise.ts';
import type { Random } from './random.ts';

export interface BoardReading {
  readonly values: Readonly<Record<string, number>>;
  readonly faults: Readonly<Record<string, Fault>>;
}

export interface BoardSpec {
  readonly board: string;
  readonly everyMs: number;
  /** Sent in this order at each interval. */
  readonly stations: readonly string[];
  readonly facts?: Readonly<Record<string, string>>;
  /** Uptime and sequence of the first line: near 2³² to see them wrap. */
  readonly startUptimeMs?: number;
  readonly startSeq?: number;
  /** Crystal's error, parts per million. */
  readonly clockPpm?: number;
  readonly resets?: readonly { readonly atS: number; readonly cause: string }[];
  readonly noise?: readonly NoiseEvent[];
  /** Line ending; LF if not given. */
  readonly ending?: '\n' | '\r\n';
}

/** What the board's sensors say at a time of the story; asked in the order of time. */
export type ReadStation = (station: string, atS: number) => BoardReading;

export interface Board {
  readonly board: string;
  readonly boot: string;
  /** Bytes sent while this much of the story passes. */
  advance(ms: number): string;
  /** Bytes from the host; answers come with the next `advance`. */
  receive(bytes: string): void;
}

const UINT32 = 0x1_0000_0000;
/** Sensors give four decimals at most: a digital probe speaks in sixteenths of a degree. */
const DECIMALS = 4;
/** From reset to the first line. */
const START_MS = 180;
const INTERVAL_MS = { least: 100, most: 60_000 } as const;
/** A command longer than this is noise. */
const MOST_COMMAND_BYTES = 40;

export function simulatedBoard(spec: BoardSpec, read: ReadStation, random: Random): Board {
  const ending = spec.ending ?? '\n';
  const noise = lineNoise(spec.noise ?? [], random.fork('noise'));
  const resets = [...(spec.resets ?? [])].sort((a, b) => a.atS - b.atS);
  const pace = 1 + (spec.clockPpm ?? 0) * 1e-6;
  let nowMs = 0;
  let boot = '0000';
  let bootAtMs = 0;
  let uptimeAtBoot = 0;
  let seq = 0;
  let intervalMs = spec.everyMs;
  let dueMs = 0;
  let cause = 'power-on';
  let helloDue = true;
  let heard = '';

  const start = (atMs: number, why: string, uptimeMs: number, firstSeq: number): void => {
    const before = boot;
    do boot = random.below(0x1_0000).toString(16).padStart(4, '0');
    while (boot === before);
    bootAtMs = atMs;
    uptimeAtBoot = uptimeMs;
    seq = firstSeq;
    intervalMs = spec.everyMs;
    dueMs = atMs + START_MS;
    cause = why;
    helloDue = true;
    heard = '';
  };
  start(0, cause, spec.startUptimeMs ?? 0, spec.startSeq ?? 0);

  const send = (line: string, atMs: number): string => noise.pass(line + ending, atMs / 1000);
  const hello = (atMs: number): string =>
    send(
      encodeHello({
        board: spec.board,
        boot,
        facts: { fw: '1.0.0', ...spec.facts, every: String(intervalMs), reset: cause },
      }),
      atMs,
    );
  const lines = (atMs: number): string => {
    let text = '';
    for (const station of spec.stations) {
      const reading = read(station, atMs / 1000);
      if (Object.keys(reading.values).length + Object.keys(reading.faults).length === 0) continue;
      const uptimeMs = Math.floor(uptimeAtBoot + (atMs - bootAtMs) * pace) % UINT32;
      text += send(encodeReading({ station, boot, seq, uptimeMs, ...reading }, DECIMALS), atMs);
      seq = (seq + 1) % UINT32;
    }
    return text;
  };

  return {
    board: spec.board,
    get boot() {
      return boot;
    },
    advance(ms) {
      const endMs = nowMs + ms;
      let text = '';
      for (;;) {
        const reset = resets[0];
        const resetMs = reset === undefined ? Number.POSITIVE_INFINITY : reset.atS * 1000;
        const nextMs = Math.min(endMs, resetMs, helloDue ? Math.max(nowMs, bootAtMs + START_MS) : dueMs);
        text += noise.between(nowMs / 1000, nextMs / 1000);
        nowMs = Math.max(nowMs, nextMs);
        if (reset !== undefined && resetMs <= nowMs) {
          resets.shift();
          start(nowMs, reset.cause, 0, 0);
        } else if (helloDue && bootAtMs + START_MS <= nowMs) {
          helloDue = false;
          text += hello(nowMs);
        } else if (dueMs <= nowMs) {
          text += lines(dueMs);
          dueMs += intervalMs;
        } else return text;
      }
    },
    receive(bytes) {
      heard += bytes;
      for (let end = heard.indexOf('\n'); end >= 0; end = heard.indexOf('\n')) {
        const command = heard.slice(0, end).replace(/\r$/, '');
        heard = heard.slice(end + 1);
        const wanted = /^=([0-9]{1,6})$/.exec(command);
        const ms = wanted === null ? 0 : Number(wanted[1]);
        if (ms >= INTERVAL_MS.least && ms <= INTERVAL_MS.most) {
          intervalMs = ms;
          dueMs = Math.min(dueMs, nowMs + ms);
        }
        // Whatever was said, the hello tells how things stand.
        helloDue = true;
      }
      if (heard.length > MOST_COMMAND_BYTES) heard = '';
    },
  };
}
