/**
 * One night and one morning, from a simulated truth that knows nothing of alarms, through the whole engine: exactly the
 * messages that a careful person would want, when they would want them, and no other.
 */
import { expect, test } from 'vitest';
import { readBench } from '../../server/config/read-bench.ts';
import type { SavedAlertDesk } from '../../server/desks/alert-desk.ts';
import { createEngine, type Engine } from '../../server/engine.ts';
import { createSourceLines, decodeSourceLine } from '../../server/intake/source-lines.ts';
import { MATERIAL_KEYS } from '../../server/physics/materials.ts';
import { THINGS } from '../../server/physics/things.ts';
import type { Notice } from '../../server/records.ts';
import { parseCaptureRow } from '../../server/storage/capture-format.ts';
import { simulatedBench } from '../../simulators/bench.ts';
import { benchFileText } from '../../simulators/bench-file.ts';
import { recordRows } from '../../simulators/play.ts';
import type { Scenario } from '../../simulators/scenario.ts';

const START_MS = Date.UTC(2026, 10, 25, 20, 30);
const HOURS = 17.8;

/** Hours are counted from half past eight in the evening. */
const NIGHT: Scenario = {
  name: 'night-and-morning',
  title: 'A night in the dryer, a morning in the chamber',
  story: 'As the table below tells it.',
  startsAt: '20:30',
  hours: 18,
  seed: 7,
  room: { meanTemperatureC: 21, meanRhPercent: 40 },
  boards: [
    { board: 'dryer', everyMs: 10_000, stations: ['box', 'room'] },
    { board: 'printer', everyMs: 10_000, stations: ['rig'] },
  ],
  stations: [
    {
      id: 'box',
      role: 'drybox',
      sensors: ['t', 'rh'],
      box: {
        setTemperatureC: 78,
        airVolumeL: 12,
        ventLPerMin: 3,
        heatAtH: 0.1,
        heaterOffH: [[5.5, 7.5]],
        lidsH: [[2.0, 2.015]],
      },
      bench: { air_supply: 'room' },
    },
    { id: 'room', role: 'room', sensors: ['t', 'rh'] },
    {
      id: 'rig',
      role: 'chamber',
      sensors: ['t', 'tb'],
      chamber: { bedTargetC: 95, bedOnH: 9, bedOffH: null, doorsH: [[16.5, 17.0]], insulated: false },
      bench: { inside: ['abs'] },
    },
  ],
  spools: [
    {
      id: 'shell',
      station: 'box',
      material: 'abs',
      netMassG: 500,
      reel: 'plastic',
      reelMassG: 212,
      stored: 'damp',
      storageRhPercent: 70,
      limitWtPercent: 0.035,
      diffusivityFactor: 0.6,
    },
  ],
  faults: [],
  events: [],
};

/** What happens, when it is told: not before and not after. */
const TABLE: readonly {
  readonly happens: string;
  readonly told: string | null;
  readonly from: string;
  readonly to: string;
  readonly says?: string;
}[] = [
  { happens: '22:30 the lid is lifted for a minute', told: null, from: '22:30', to: '23:00' },
  {
    happens: '02:00 the timer of the box runs out',
    told: 'first heating-lost',
    from: '02:10',
    to: '02:15',
    says: 'The drying box has been cooling since 02:00; check its timer.',
  },
  { happens: '04:00 it is started again', told: 'returned heating-lost', from: '04:10', to: '04:30' },
  {
    happens: 'at dawn the spool is dry',
    told: 'first filament-dry',
    from: '05:00',
    to: '10:00',
    says: '“shell” is dry.',
  },
  {
    happens: '05:30 the bed is on; the chamber soaks',
    told: 'first chamber-steady',
    from: '06:30',
    to: '12:30',
    says: 'The chamber is steady.',
  },
  {
    happens: '13:00 its door is left open',
    told: 'first lid-open-long',
    from: '13:10',
    to: '13:12',
    says: 'The chamber seems to stand open since 13:00.',
  },
  { happens: '13:30 somebody shuts it', told: 'returned lid-open-long', from: '13:30', to: '13:40' },
  {
    happens: 'it has to soak anew',
    told: 'withdrawn chamber-steady',
    from: '13:45',
    to: '14:15',
    says: 'The chamber is steady no longer.',
  },
];

const clock = (atMs: number): string => new Date(atMs).toISOString().slice(11, 16);

/** Restarts the engine's alarms at that time of the story, as a program that was stopped for a moment. */
const RESTART_MS = START_MS + 6.5 * 3_600_000;

test('overnight drying, lid opened, timer run out, restarted, dry at dawn, chamber soak, door left open', () => {
  const text = benchFileText(NIGHT, () => 'tty');
  const reading = readBench(text, null, { materials: MATERIAL_KEYS, things: Object.keys(THINGS) });
  if (!reading.ok) throw new Error(JSON.stringify(reading.mistakes));
  const { bench } = reading;
  let engine: Engine = createEngine(bench);
  const lines = createSourceLines([]);
  const notices: Notice[] = [];
  let second = START_MS / 1000;
  const moveTo = (atMs: number): void => {
    for (; second * 1000 < atMs; second++) {
      const at = { wallMs: second * 1000, monotonicMs: second * 1000 };
      if (at.wallMs === RESTART_MS) {
        const { saved, alerts } = JSON.parse(
          JSON.stringify({ saved: engine.save(), alerts: engine.alerts.save(at) }),
        ) as { saved: ReturnType<Engine['save']>; alerts: SavedAlertDesk };
        engine = createEngine(bench, saved, undefined, { saved: alerts });
      }
      engine.tick(at);
      notices.push(...(engine.alerts.look(at)?.notices ?? []));
    }
  };
  for (const row of recordRows(simulatedBench(NIGHT), HOURS, START_MS)) {
    const parsed = parseCaptureRow(row);
    if (!parsed.ok) continue;
    moveTo(parsed.atMs);
    const at = { wallMs: parsed.atMs, monotonicMs: parsed.atMs };
    const decoded = decodeSourceLine(lines, parsed.source, parsed.line, at);
    if (decoded.ok) engine.accept(parsed.source, decoded.line, decoded.checked, at);
  }

  const wanted = TABLE.filter(({ told }) => told !== null);
  const story = notices.map(({ at, reason, rule, headline }) => ({
    at: clock(Date.parse(at)),
    told: `${reason} ${rule}`,
    headline,
  }));
  expect(
    story.map(({ told }) => told),
    JSON.stringify(story, null, 1),
  ).toEqual(wanted.map(({ told }) => told));
  for (const [i, { from, to, says, happens }] of wanted.entries()) {
    const toldAt = story[i]?.at ?? '';
    expect(toldAt >= from && toldAt <= to, `${happens}: told at ${toldAt}`).toBe(true);
    if (says) expect(story[i]?.headline).toBe(says);
  }
  for (const notice of notices) {
    // Each says what to do next, and where heat or mains are near, what to mind.
    expect(notice.advice).not.toBe('');
    if (['heating-lost', 'lid-open-long'].includes(notice.rule) && notice.reason === 'first')
      expect(notice.caution).toBeTruthy();
    expect(`${notice.headline} ${notice.text} ${notice.advice}`).not.toMatch(/\b(I|we|our|safe|OK)\b/);
  }
  const dry = notices.find(({ rule }) => rule === 'filament-dry');
  expect(dry?.number).toMatchObject({ unit: 'wt %', low: expect.any(Number), high: expect.any(Number) });
}, 300_000);
