/** `lowdew run`: joins boards, judgement, history and page, and keeps them going until told to stop. */
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { isAbsolute, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Scenario } from '../../simulators/scenario.ts';
import { ServeError } from '../api/errors.ts';
import { type Serving, serveBench } from '../api/http.ts';
import { registerAlerts } from '../api/routes-alerts.ts';
import { registerDiary } from '../api/routes-diary.ts';
import { registerJobs } from '../api/routes-jobs.ts';
import { registerReceivers } from '../api/routes-receivers.ts';
import { registerSetup } from '../api/routes-setup.ts';
import { keepToken } from '../api/token.ts';
import { type Clock, heldClock, systemClock } from '../clock.ts';
import type { BenchConfig } from '../config/bench.ts';
import { isLoopback } from '../config/loopback.ts';
import { createEngine } from '../engine.ts';
import { QUIET_LEAST_MS } from '../intake/rhythm.ts';
import { createSourceLines } from '../intake/source-lines.ts';
import { WEBHOOKS } from '../notifiers/webhook-body.ts';
import { PLANNER } from '../planner/planner.ts';
import type { Transition, UserEntry } from '../records.ts';
import { createRunner, type Runner } from '../runner.ts';
import { type Link, startLink } from '../serial/link.ts';
import { wayIn } from '../serial/ways.ts';
import { openAlertHistory } from '../storage/alert-history.ts';
import { openCapture } from '../storage/capture.ts';
import { StorageError } from '../storage/errors.ts';
import { openHistory } from '../storage/history.ts';
import { takeLock } from '../storage/lock.ts';
import { loadDatabaseEngine } from '../storage/sqlite.ts';
import { type Json, openState } from '../storage/state.ts';
import { VERSION } from '../version.ts';
import { createView } from '../view.ts';
import { MOST_SHOWN } from '../view-alerts.ts';
import { wireCeiling, wireChamber } from '../view-chambers.ts';
import { jobsView, wireJob } from '../view-jobs.ts';
import { wireSpool } from '../view-spools.ts';
import { type AlertRun, startAlertRun } from './alert-run.ts';
import { announce } from './announce.ts';
import { catchUp } from './catch-up.ts';
import { type AlertDocuments, savedAlerts, savedSettings } from './keep-alerts.ts';
import { createKeeper, type Documents, savedEngine, spoolsFromState } from './keep-state.ts';
import { createLog, createThinner, type LogFormat, type LogLevel } from './log.ts';
import { startNotifyRun } from './notify-run.ts';
import { relive } from './relive.ts';
import { createSetupDesk } from './setup-desk.ts';
import { openSimulatedRun, type SimulatedRun } from './simulated-run.ts';
import { EXIT, type ExitCode, type Terminal } from './terminal.ts';

export interface RunCommand {
  /** Null: the simulated bench of `scenario`. */
  readonly bench: BenchConfig | null;
  readonly scenario: Scenario | null;
  /** Of the simulated bench. */
  readonly speed: number;
  /** Hours of the simulated story that lie behind when the page opens. */
  readonly pastHours: number;
  readonly dataDir: string;
  readonly listen: { readonly listenHost: string; readonly listenPort: number } | null;
  readonly logLevel: LogLevel;
  readonly logFormat: LogFormat;
  /** In [0, 1); spreads retries. */
  readonly random: () => number;
  /** Where a first run may write its bench file; null where one was named, or a story asked for. */
  readonly benchFileTo: string | null;
  /** Where secrets of receivers may lie. */
  readonly env: Readonly<Record<string, string | undefined>>;
  /** Settles when the program is told to stop. */
  readonly stopped: Promise<void>;
}

/** What has gathered goes to the pages this often; a second of readings is one message, not ten. */
const SHOW_EVERY_MS = 100;
/** A page takes silence of 15 s for a dead socket. */
const SIGN_OF_LIFE_MS = 4000;
const KEEP_EVERY_MS = 60_000;
/** The computer may be busy with other things for this long without a station being called quiet. */
const HICCUP_MS = 3000;
const ANSWER_FIRST_MS = 250;
/** A driver that hangs in close must not keep the program from stopping. */
const CLOSE_PATIENCE_MS = 3000;

/** `anew`: a bench file was written; choose the bench again. The port stays as it was. */
export type RunEnd = ExitCode | { readonly anew: true; readonly port: number };

export async function runCommand(command: RunCommand, terminal: Terminal): Promise<RunEnd> {
  const simulated = command.scenario ? await openSimulatedRun(command.scenario) : null;
  const described = simulated?.bench ?? command.bench;
  if (!described) throw new Error('neither a bench nor a scenario was given');
  // Invented readings never mix with real ones: a simulated bench has a folder of its own that goes with it.
  const folder = simulated
    ? mkdtempSync(join(tmpdir(), 'lowdew-simulated-'))
    : dataDirOf(described, command.dataDir);
  try {
    return await serve(command, terminal, simulated, described, folder);
  } catch (error) {
    if (error instanceof StorageError) {
      terminal.err(`${error.message}. Name another data folder with --data or data_dir.`);
      return EXIT.dataFolder;
    }
    if (error instanceof ServeError) {
      terminal.err(error.message);
      return EXIT.listen;
    }
    throw error;
  } finally {
    await simulated?.close();
    if (simulated) rmSync(folder, { recursive: true, force: true });
  }
}

/** The bench file's own data folder, else the one given. */
export function dataDirOf(bench: BenchConfig, otherwise: string): string {
  if (bench.dataDir === null) return otherwise;
  // A relative folder is meant from where the bench file lies.
  return isAbsolute(bench.dataDir) ? bench.dataDir : resolve(bench.file ?? '.', '..', bench.dataDir);
}

async function serve(
  command: RunCommand,
  terminal: Terminal,
  simulated: SimulatedRun | null,
  described: BenchConfig,
  folder: string,
): Promise<RunEnd> {
  const speed = simulated ? command.speed : 1;
  const realClock = systemClock();
  // The simulated bench's time begins to pass once its past has been relived.
  const storyClock = heldClock(speed);
  const clock = simulated ? storyClock : realClock;
  const log = createLog(command.logLevel, command.logFormat, (line) => terminal.err(line.trimEnd()));
  const thin = createThinner(() => realClock.now().monotonicMs);
  const note = (sentence: string): void => log.warn(sentence);
  const open = await loadDatabaseEngine();

  const lock = takeLock(open, folder);
  const state = openState({ open, path: join(folder, 'state.sqlite'), clock: realClock, onNote: note });
  const documents: Documents = {
    put: (kind, id, value) => state.put(kind, id, value as Json),
    all: (kind) => state.all(kind),
  };
  const bench = spoolsFromState(described, documents);
  const history = openHistory({
    open,
    path: join(folder, 'history.sqlite'),
    // A story's readings are rolled up in the story's time.
    clock,
    onNote: note,
    onTrouble: (trouble) => (trouble ? log.error(trouble.sentence) : log.info('History is written again.')),
  });
  const capture = openCapture({
    folder: join(folder, 'captures'),
    clock: realClock,
    onTrouble: (sentence) => (sentence ? log.error(sentence) : log.info('The capture is written again.')),
  });

  const alertDocuments: AlertDocuments = {
    ...documents,
    remove: (kind, id) => state.remove(kind, id),
    together: (work) => state.together(work),
  };
  const alertHistory = openAlertHistory({
    open,
    path: join(folder, 'alerts.sqlite'),
    nowMs: () => realClock.now().wallMs,
    onNote: note,
  });
  const saved = savedEngine(documents);
  const engine = createEngine(bench, saved, Math.max(QUIET_LEAST_MS, HICCUP_MS * speed), {
    saved: savedAlerts(alertDocuments),
    settings: savedSettings(alertDocuments),
    zone: Intl.DateTimeFormat().resolvedOptions().timeZone,
  });
  const keep = createKeeper(engine, documents);
  const sourceLines = createSourceLines(bench.patterns);
  let runner: Runner;
  let alerting: AlertRun;
  const view = createView({
    engine,
    roles: new Map(bench.stations.map(({ id, role }) => [id, role])),
    clock,
    speed,
    simulated: command.scenario ? { scenario: command.scenario.title, speed } : null,
    version: VERSION,
    sources: () => runner.sources(),
    spools: () => engine.spoolViews(clock.now()).map(wireSpool),
    chambers: () =>
      engine.soakEstimates(clock.now()).flatMap((estimate) => {
        const station = bench.stations.find(({ id }) => id === estimate.station);
        return station ? [wireChamber(estimate, station)] : [];
      }),
    jobs: () => engine.jobs(clock.now()).map(wireJob),
    alerts: () => alerting.alerts().slice(0, MOST_SHOWN),
    ceiling: (id) => {
      const ceiling = engine.ceilings(clock.now()).get(id);
      return ceiling ? wireCeiling(ceiling) : null;
    },
    historyTrouble: () => history.trouble()?.sentence ?? null,
  });
  alerting = startAlertRun({
    desk: engine.alerts,
    documents: alertDocuments,
    history: alertHistory,
    clock,
    show: view,
    log,
    send: (notices) => notifying.tell(notices),
  });
  runner = createRunner({
    engine,
    sourceLines,
    clock,
    capture: (at, source, text) => capture.line(at.wallMs, source, text),
    keep: (samples) => {
      for (const sample of samples) history.add(sample);
    },
    show: view,
    tell: (transition) => tellTransition(transition),
    alerted: (judgement, at) => alerting.alerted(judgement, at),
    storageTrouble: () => history.trouble()?.sentence ?? null,
    refused: (source, reason, detail) => {
      const { tell, held } = thin(`${source} ${reason}`);
      if (tell) log.info({ source, reason, ...(held > 0 ? { more: held } : {}) }, detail);
    },
  });
  const notifying = startNotifyRun({
    receivers: bench.receivers,
    state,
    clock: realClock,
    env: command.env,
    log,
    thin,
    snapshot: view.snapshot,
  });
  alerting.begin();
  const tellTransition = ({ kind, detail, station, source, troubling }: Transition): void => {
    const { tell } = thin(`${kind} ${station ?? ''} ${source ?? ''}`);
    const facts = { kind, ...(station ? { station } : {}), ...(source ? { source } : {}) };
    if (!tell) return;
    if (troubling || kind === 'station-quiet' || kind === 'clock-stepped' || kind === 'unknown-station')
      log.warn(facts, detail);
    else log.info(facts, detail);
  };
  const enter = (entry: UserEntry) => {
    const at = clock.now();
    const judged = engine.judge(entry);
    if (!judged.ok) return judged;
    // Written down before it counts and is acknowledged; the diary is for people, the capture for replays.
    state.enter(at.wallMs, entry.kind, entry as Json);
    capture.user(at.wallMs, entry);
    return runner.enter(entry, at);
  };

  if (simulated && command.pastHours > 0) {
    const { wallMs } = clock.now();
    relive(simulated.past(command.pastHours, wallMs - command.pastHours * 3_600_000), wallMs, runner, engine);
  }
  storyClock.go();
  if (!simulated) {
    const kept = { pages: history.pages, entries: (query: { after: number }) => state.entries(query) };
    const told = catchUp(bench, engine, saved, kept, clock.now());
    if (told > 0) log.info({ told }, 'Readings and entries since the last stop were taken up again.');
  }

  const { listenHost, listenPort } = command.listen ?? bench;
  const token = isLoopback(listenHost) ? null : keepToken(join(folder, 'token'));
  let beginAnew = (): void => {};
  const anew = new Promise<'anew'>((settle) => {
    // The answer to who asked is on its way first.
    beginAnew = () => realClock.after(ANSWER_FIRST_MS, () => settle('anew'));
  });
  const setup = createSetupDesk({
    benchFile: bench.file,
    writesTo: command.benchFileTo,
    clock: realClock,
    input: process.stdin,
    taken: bench.sources.flatMap((source) => (source.way === 'port' ? [source.path] : [])),
    written: () => beginAnew(),
  });
  const links: Link[] = [];
  let serving: Serving | null = null;
  const cancels: (() => void)[] = [];
  try {
    serving = await serveBench({
      host: listenHost,
      port: listenPort,
      tls: readTls(bench.tls),
      token: token?.token ?? null,
      webFolder: fileURLToPath(new URL('./web', import.meta.url)),
      bench: view,
      history,
      health: { historyFacts: () => history.counts(), receiverTroubles: notifying.troubles },
      clock: realClock,
      log: {
        warn: (facts, message) => log.warn(facts, message),
        error: (facts, message) => log.error(facts, message),
      },
      enter: (entry) => enter({ ...entry }),
      routes(app) {
        registerJobs(app, jobsView(engine, clock));
        registerAlerts(app, alerting);
        registerSetup(app, setup);
        registerReceivers(app, notifying);
        registerDiary(app, {
          entries: (after) => state.entries({ after }),
          stationOf: (id) => bench.spools.find((spool) => spool.id === id)?.station ?? null,
        });
      },
      planner: PLANNER,
      webhooks: WEBHOOKS,
    });
    for (const source of bench.sources) {
      // The link lives in real time, whose silences it judges; what the page is told of it is in the bench's own.
      let sinceMs = clock.now().wallMs;
      let heardMs: number | null = null;
      const link = startLink({
        sourceId: source.id,
        way: wayIn(source, { clock: realClock, input: process.stdin }),
        clock: realClock,
        random: command.random,
        asksHello: !bench.patterns.some((pattern) => pattern.source === source.id),
        onLine(line) {
          const at = clock.now();
          heardMs = at.wallMs;
          runner.line({ ...line, at });
        },
        onState(linkState) {
          sinceMs = clock.now().wallMs;
          view.sourceChanged(source.id);
          const { trouble, state: phase, where } = linkState;
          if (trouble) {
            // Each try says it again; once a minute is enough for a log.
            if (thin(`link ${source.id} ${trouble.code}`).tell)
              log.warn({ source: source.id, code: trouble.code }, trouble.sentence);
          } else if (phase === 'open') log.info({ source: source.id }, `${where} is open.`);
        },
      });
      links.push(link);
      runner.addLink(source.id, { ...link, state: () => ({ ...link.state(), sinceMs, heardMs }) });
    }
    // A board that speaks before anyone listens would begin with lost lines.
    if (simulated) await whenOpen(links, realClock);
    simulated?.play(clock, enter);
    let lastShownMs = 0;
    const stopShowing = view.subscribe(() => {
      lastShownMs = realClock.now().monotonicMs;
    });
    cancels.push(
      stopShowing,
      clock.every(1000, () => runner.tick()),
      realClock.every(SHOW_EVERY_MS, () =>
        view.flush(realClock.now().monotonicMs - lastShownMs > SIGN_OF_LIFE_MS),
      ),
      realClock.every(KEEP_EVERY_MS, () => {
        keepOrSay('changed');
        alerting.keep();
      }),
    );
    announce(terminal, serving.url, command, view.snapshot(), token, folder);
    if ((await Promise.race([command.stopped, anew])) === 'anew') {
      terminal.out(`  A bench file was written: ${command.benchFileTo}. Beginning with it.`);
      return { anew: true, port: serving.port };
    }
    terminal.out('  Stopped.');
    return EXIT.fine;
  } finally {
    for (const cancel of cancels) cancel();
    await new Promise<void>((settle) => {
      const cancel = realClock.after(CLOSE_PATIENCE_MS, settle);
      void Promise.all(links.map((link) => link.close())).then(() => {
        cancel();
        settle();
      });
    });
    await serving?.close();
    await notifying.close();
    keepOrSay('all');
    alerting.keep();
    alertHistory.close();
    history.close();
    capture.close();
    state.close();
    lock.release();
  }

  function keepOrSay(which: 'changed' | 'all'): void {
    try {
      keep(which);
    } catch (error) {
      if (!(error instanceof StorageError)) throw error;
      log.error(
        { code: error.code },
        `What is known of spools and chambers could not be kept: ${error.message}`,
      );
    }
  }
}

/** Settles when every link is open, or after a moment without. */
async function whenOpen(links: readonly Link[], clock: Clock): Promise<void> {
  for (let tries = 0; tries < 40 && links.some((link) => link.state().state !== 'open'); tries++)
    await new Promise<void>((settle) => clock.after(50, settle));
}

function readTls(tls: BenchConfig['tls']): { cert: string; key: string } | null {
  if (!tls) return null;
  try {
    return { cert: readFileSync(tls.certPath, 'utf8'), key: readFileSync(tls.keyPath, 'utf8') };
  } catch (error) {
    throw new ServeError('tls-unusable', `The TLS files cannot be read: ${(error as Error).message}.`, error);
  }
}
