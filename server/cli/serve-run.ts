/** One run of a bench, from opening what it keeps to closing it again. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Scenario } from '../../simulators/scenario.ts';
import { ServeError } from '../api/errors.ts';
import { type Serving, serveBench } from '../api/http.ts';
import { registerAlerts } from '../api/routes-alerts.ts';
import { registerDiary } from '../api/routes-diary.ts';
import { registerJobs } from '../api/routes-jobs.ts';
import { registerReceivers } from '../api/routes-receivers.ts';
import { registerSetup } from '../api/routes-setup.ts';
import { registerSpools } from '../api/routes-spools.ts';
import { keepToken } from '../api/token.ts';
import { heldClock, systemClock } from '../clock.ts';
import type { BenchConfig } from '../config/bench.ts';
import { isLoopback } from '../config/loopback.ts';
import { createEngine } from '../engine.ts';
import { QUIET_LEAST_MS } from '../intake/rhythm.ts';
import { createSourceLines } from '../intake/source-lines.ts';
import { WEBHOOKS } from '../notifiers/webhook-body.ts';
import { PLANNER } from '../planner/planner.ts';
import type { Transition, UserEntry } from '../records.ts';
import { createRunner, type Runner } from '../runner.ts';
import { StorageError } from '../storage/errors.ts';
import type { Json } from '../storage/state.ts';
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
import { openLinks, type RunLinks } from './run-links.ts';
import { openStores } from './run-stores.ts';
import { createSetupDesk } from './setup-desk.ts';
import type { SimulatedRun } from './simulated-run.ts';
import { createSpoolBook } from './spool-book.ts';
import { spoolsThatDiffer } from './spools-differ.ts';
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

/** `anew`: a bench file was written; choose the bench again. The port stays as it was. */
export type RunEnd = ExitCode | { readonly anew: true; readonly port: number };

/** What has gathered goes to the pages this often; a second of readings is one message, not ten. */
const SHOW_EVERY_MS = 100;
/** A page takes silence of 15 s for a dead socket. */
const SIGN_OF_LIFE_MS = 4000;
const KEEP_EVERY_MS = 60_000;
/** The computer may be busy with other things for this long without a station being called quiet. */
const HICCUP_MS = 3000;
/** The answer to who asked is on its way before the program begins anew. */
const ANSWER_FIRST_MS = 250;

export async function serveRun(
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
  const { state, history, capture, alertHistory, ...stores } = await openStores(
    folder,
    realClock,
    clock,
    log,
  );
  const documents: Documents = {
    put: (kind, id, value) => state.put(kind, id, value as Json),
    all: (kind) => state.all(kind),
  };
  const bench = spoolsFromState(described, documents);
  for (const sentence of spoolsThatDiffer(described.spools, bench.spools)) log.warn(sentence);

  const alertDocuments: AlertDocuments = {
    ...documents,
    remove: (kind, id) => state.remove(kind, id),
    together: (work) => state.together(work),
  };
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
  const spoolBook = createSpoolBook({
    bench,
    documents: alertDocuments,
    isSimulated: simulated !== null,
    isPrinting: (id) =>
      engine.jobs(clock.now()).some(({ plan, state: phase }) => plan.spool === id && phase !== 'ended'),
    changed: () => beginAnew(),
  });
  let links: RunLinks | null = null;
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
        registerSpools(app, spoolBook);
        registerReceivers(app, notifying);
        registerDiary(app, {
          entries: (after) => state.entries({ after }),
          stationOf: (id) => bench.spools.find((spool) => spool.id === id)?.station ?? null,
        });
      },
      planner: PLANNER,
      webhooks: WEBHOOKS,
    });
    links = openLinks({
      bench,
      realClock,
      clock,
      random: command.random,
      log,
      thin,
      line: (line) => runner.line(line),
      addLink: (source, link) => runner.addLink(source, link),
      sourceChanged: (source) => view.sourceChanged(source),
    });
    // A board that speaks before anyone listens would begin with lost lines.
    if (simulated) await links.whenOpen();
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
      terminal.out(
        command.benchFileTo === null
          ? '  The spools are others now. Beginning anew with them.'
          : `  A bench file was written: ${command.benchFileTo}. Beginning with it.`,
      );
      return { anew: true, port: serving.port };
    }
    terminal.out('  Stopped.');
    return EXIT.fine;
  } finally {
    for (const cancel of cancels) cancel();
    await links?.close();
    await serving?.close();
    await notifying.close();
    keepOrSay('all');
    alerting.keep();
    stores.close();
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

function readTls(tls: BenchConfig['tls']): { cert: string; key: string } | null {
  if (!tls) return null;
  try {
    return { cert: readFileSync(tls.certPath, 'utf8'), key: readFileSync(tls.keyPath, 'utf8') };
  } catch (error) {
    throw new ServeError('tls-unusable', `The TLS files cannot be read: ${(error as Error).message}.`, error);
  }
}
