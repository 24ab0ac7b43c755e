/** `lowdew plan start`: asks the running server, or a capture, when a job may start. */
import type { StartFindingWire, StartQuery } from '../api/messages-jobs.ts';
import type { BenchConfig } from '../config/bench.ts';
import { createEngine } from '../engine.ts';
import { createSourceLines } from '../intake/source-lines.ts';
import { findMaterial } from '../physics/materials.ts';
import { createReplay } from '../replay.ts';
import { askOf } from '../view-jobs.ts';
import { feedCapture } from './capture-rows.ts';
import { describeStart } from './start-words.ts';
import { EXIT, type ExitCode, type Terminal } from './terminal.ts';

export interface PlanStart {
  readonly query: StartQuery;
  /** False: no chamber is waited for, whatever the bench has. */
  readonly withChamber: boolean;
  readonly format: 'text' | 'json';
}

const SURE = 0.9;
/** A server on the bench answers at once; one that does not is gone. */
const PATIENCE_MS = 10_000;

export async function planStartFromCapture(
  command: PlanStart,
  capture: string,
  bench: BenchConfig,
  terminal: Terminal,
): Promise<ExitCode> {
  const { query } = command;
  const spool = bench.spools.find(({ id }) => id === query.spool);
  if (!spool) {
    terminal.err(
      `The bench file has no spool "${query.spool}"${bench.spools.length > 0 ? `; it has ${bench.spools.map(({ id }) => id).join(', ')}` : ''}.`,
    );
    return EXIT.badBenchOrOption;
  }
  const chambers = bench.stations.filter(({ role }) => role === 'chamber').map(({ id }) => id);
  const chamber = chooseChamber(command, chambers, terminal);
  if (chamber === undefined) return EXIT.badBenchOrOption;
  const engine = createEngine(bench);
  const replay = createReplay(
    engine,
    createSourceLines(bench.patterns),
    [],
    { everyS: 86_400, kinds: new Set() },
    () => {},
  );
  const failed = await feedCapture(capture, replay, terminal);
  if (failed !== null) return failed;
  replay.end();
  const nowMs = replay.nowMs();
  if (nowMs === null) {
    terminal.err(`${capture} holds no row.`);
    return EXIT.unreadableCapture;
  }
  const at = { wallMs: nowMs, monotonicMs: nowMs };
  const answer = engine.startCheck(askOf({ ...query, ...(chamber === null ? {} : { chamber }) }), at);
  if (!answer.ok) {
    terminal.err(answer.detail);
    return answer.reason === 'bad-value' ? EXIT.badBenchOrOption : EXIT.someRowsBad;
  }
  const found = findMaterial(spool.material, spool.fibreWtPercent);
  const limit = spool.limitWtPercent ?? (found.ok ? found.material.printingLimitWtPercent : null);
  say(command, { ...answer.finding, reasons: [...answer.finding.reasons] }, nowMs, limit, terminal);
  return EXIT.fine;
}

export async function planStartFromServer(
  command: PlanStart,
  url: string,
  token: string | null,
  terminal: Terminal,
): Promise<ExitCode> {
  if (!/^https?:$/.test(URL.canParse(url) ? new URL(url).protocol : '')) {
    terminal.err(`--url ${url} is no address: give one like http://127.0.0.1:7323.`);
    return EXIT.badBenchOrOption;
  }
  const ask = async (path: string): Promise<{ status: number; body: unknown } | null> => {
    try {
      const response = await fetch(new URL(path, url), {
        headers: token === null ? {} : { authorization: `Bearer ${token}` },
        signal: AbortSignal.timeout(PATIENCE_MS),
      });
      return { status: response.status, body: await response.json() };
    } catch {
      return null;
    }
  };
  const bench = await ask('/api/bench');
  if (!bench) {
    terminal.err(
      `No lowdew answers at ${url}. Is it running? If it announced another address, name it with --url.`,
    );
    return EXIT.listen;
  }
  if (bench.status !== 200) return refused(bench.body, terminal);
  const snapshot = bench.body as {
    atMs: number;
    stations: { id: string; role: string }[];
    spools: { id: string; limitWtPercent: number }[];
  };
  const chambers = snapshot.stations.filter(({ role }) => role === 'chamber').map(({ id }) => id);
  const chamber = chooseChamber(command, chambers, terminal);
  if (chamber === undefined) return EXIT.badBenchOrOption;
  const params = new URLSearchParams();
  for (const [name, value] of Object.entries({ ...command.query, ...(chamber === null ? {} : { chamber }) }))
    if (value !== undefined) params.set(name, String(value));
  const answer = await ask(`/api/start?${params}`);
  if (!answer) {
    terminal.err(`${url} did not answer.`);
    return EXIT.listen;
  }
  if (answer.status !== 200) return refused(answer.body, terminal);
  const limit = snapshot.spools.find(({ id }) => id === command.query.spool)?.limitWtPercent ?? null;
  say(command, answer.body as StartFindingWire, snapshot.atMs, limit, terminal);
  return EXIT.fine;
}

/** The one named, else the only one; null: none is waited for; undefined: it was said what is wrong. */
function chooseChamber(
  { query, withChamber }: PlanStart,
  chambers: readonly string[],
  terminal: Terminal,
): string | null | undefined {
  if (!withChamber) return null;
  if (query.chamber !== undefined) {
    if (chambers.includes(query.chamber)) return query.chamber;
    terminal.err(
      `No chamber is called "${query.chamber}"${chambers.length > 0 ? `; there is ${chambers.join(', ')}` : ''}.`,
    );
    return undefined;
  }
  if (chambers.length > 1) {
    terminal.err(`There are several chambers: name one with --station (${chambers.join(', ')}).`);
    return undefined;
  }
  return chambers[0] ?? null;
}

function refused(body: unknown, terminal: Terminal): ExitCode {
  const message = (body as { error?: { message?: string; code?: string } } | null)?.error?.message;
  terminal.err(message ?? 'The server refused without a reason.');
  return EXIT.someRowsBad;
}

function say(
  { format, query }: PlanStart,
  finding: StartFindingWire,
  nowMs: number,
  limitWtPercent: number | null,
  terminal: Terminal,
): void {
  if (format === 'json') {
    const iso = (ms: number | null): string | null =>
      ms === null ? null : new Date(Math.round(ms)).toISOString();
    const { earliestMs, spoolReadyMs, chamberReadyMs, bedOnByMs, reasons, ...rest } = finding;
    terminal.out(
      JSON.stringify({
        askedAt: iso(nowMs),
        sure: query.sure ?? SURE,
        outcome: rest.outcome,
        earliestAt: iso(earliestMs),
        spoolReadyAt: iso(spoolReadyMs),
        chamberReadyAt: iso(chamberReadyMs),
        bedOnBy: iso(bedOnByMs),
        bedOn: rest.bedOn,
        hoursToSpool: rest.hoursToSpool,
        hoursToChamber: rest.hoursToChamber,
        ifNow: rest.ifNow,
        reasons: reasons.map((reason) => {
          if (!('atMs' in reason)) return reason;
          const { atMs, ...others } = reason;
          return { ...others, at: iso(atMs) };
        }),
      }),
    );
    return;
  }
  for (const line of describeStart(finding, { nowMs, sure: query.sure ?? SURE, limitWtPercent }))
    terminal.out(line);
}
