/**
 * Random schedules of faults, ten thousand of them in CI, against promises that are checked from the schedule and the notices alone.
 * Seeded, so that a failure comes back; fast-check shrinks it.
 */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import {
  type AlertBook,
  acknowledgeAlarm,
  openBook,
  type SavedAlerts,
  saveBook,
  shelveAlarm,
} from '../../server/alerts/book.ts';
import { type Facts, known, missing } from '../../server/alerts/facts.ts';
import { judgeAlerts } from '../../server/alerts/judge.ts';
import { ruleOf } from '../../server/alerts/rules.ts';
import { createSay } from '../../server/alerts/say.ts';
import { createSetRules } from '../../server/alerts/settings.ts';
import { createWatches } from '../../server/alerts/subjects.ts';
import type { Notice } from '../../server/records.ts';
import { inventFacts, inventSpool, inventStation, START_MS } from './invented-facts.ts';

/** Each takes some 5 ms; a person who waits for the tests is served with fewer. */
const SCHEDULES = Number(process.env['LOWDEW_FAULT_SCHEDULES'] ?? 2000);
const STEP_MS = 60_000;
const STEPS = 60;
const STATIONS = ['box', 'room', 'rig'] as const;
type Place = (typeof STATIONS)[number];

type Event =
  | { kind: 'quiet' | 'heard' | 'fault' | 'mended'; place: Place }
  | { kind: 'hot' | 'cold' | 'open' | 'shut'; place: 'box' | 'rig' }
  | { kind: 'steady' | 'unsteady' | 'dry' | 'wet' | 'new-run' | 'restart' | 'acknowledge' | 'clock' }
  | { kind: 'shelve'; minutes: number };

const event: fc.Arbitrary<Event> = fc.oneof(
  fc.record({
    kind: fc.constantFrom('quiet', 'heard', 'fault', 'mended'),
    place: fc.constantFrom(...STATIONS),
  }),
  fc.record({
    kind: fc.constantFrom('hot', 'hot', 'hot', 'cold', 'open', 'shut'),
    place: fc.constantFrom<'box' | 'rig'>('box', 'rig'),
  }),
  fc.record({
    kind: fc.constantFrom('steady', 'unsteady', 'dry', 'wet', 'new-run', 'restart', 'acknowledge', 'clock'),
  }),
  fc.record({ kind: fc.constant('shelve' as const), minutes: fc.integer({ min: 1, max: 50 }) }),
);
const schedule = fc.record({
  events: fc.array(fc.tuple(fc.integer({ min: 1, max: STEPS / 2 }), event), { maxLength: 16 }),
  quietHours: fc.boolean(),
});

interface World {
  quiet: Set<Place>;
  faulty: Set<Place>;
  heat: Map<string, 'hot' | 'cold'>;
  open: Map<string, number>;
  steadySinceMs: number | null;
  dry: number | null;
  run: number;
  stepMs: number | null;
}

function factsOf(world: World, nowMs: number): Facts {
  const hears = (place: Place) =>
    world.quiet.has(place) ? missing('quiet') : world.faulty.has(place) ? missing('fault') : null;
  const air = (place: 'box' | 'rig'): number => {
    const heat = world.heat.get(place);
    return heat === 'cold' ? 62 : heat === 'hot' ? 95 : 70;
  };
  const ceiling = (place: 'box' | 'rig') => {
    const airC = air(place);
    return (
      hears(place) ??
      known({
        outcome: airC >= 90 ? ('passed' as const) : ('clear' as const),
        airC,
        ceilingC: 90,
        reason: 'a part',
        finalAirC: null,
        crossesAtMs: null,
      })
    );
  };
  const heated = (place: 'box' | 'rig') => ({
    airC: hears(place) ?? known(air(place)),
    hourMedianC: hears(place) ?? known(70),
    opening:
      hears(place) ??
      known(world.open.has(place) ? { sinceMs: world.open.get(place) ?? 0, beforeC: 75 } : null),
    ceiling: ceiling(place),
  });
  const common = (place: Place) => ({
    quiet: world.quiet.has(place),
    heardMs: START_MS,
    faultyKeys: world.quiet.has(place) ? missing('quiet') : known(world.faulty.has(place) ? ['t'] : []),
    dewPointC: null,
  });
  return inventFacts({
    stations: [
      inventStation('box', 'drybox', { ...common('box'), ...heated('box') }),
      inventStation('room', 'room', common('room')),
      inventStation('rig', 'chamber', {
        ...common('rig'),
        source: 'net',
        ...heated('rig'),
        soak:
          hears('rig') ??
          known({
            state: world.steadySinceMs === null ? 'climbing' : 'steady',
            run: `h${world.run}`,
            airC: air('rig'),
            finalAirC: null,
            driftCPer10Min: 0.1,
            driftLimitCPer10Min: 0.5,
            steadySinceMs: world.steadySinceMs,
            openSinceMs: null,
          }),
      }),
    ],
    spools: [
      hears('box') === null
        ? inventSpool('gear', 'box', { run: `r${world.run}`, dryCalledMs: world.dry })
        : { ...inventSpool('gear', 'box'), drying: missing('quiet') },
    ],
    program: {
      clockStep:
        world.stepMs !== null && nowMs - world.stepMs < 600_000 ? { atMs: world.stepMs, seconds: 60 } : null,
      storageTrouble: null,
    },
  });
}

test('nothing is lost, nothing clears by silence, nothing repeats too soon, every shelf ends, news comes once a run', () => {
  const watches = createWatches();
  let raises = 0;
  let frozenSteps = 0;
  let repeats = 0;
  let shelves = 0;
  let news = 0;
  let withdrawals = 0;
  fc.assert(
    fc.property(schedule, ({ events, quietHours }) => {
      let book: AlertBook = openBook(null, START_MS);
      const setRule = createSetRules({
        quietHours: quietHours ? { zone: 'UTC', from: '20:30', to: '21:30' } : null,
        rules: [],
      });
      const world: World = {
        quiet: new Set(),
        faulty: new Set(),
        heat: new Map(),
        open: new Map(),
        steadySinceMs: null,
        dry: null,
        run: 1,
        stepMs: null,
      };
      const notices: { notice: Notice; atMs: number }[] = [];
      const shelfEndMs = new Map<string, number>();
      let toldOneByOne = 0;
      let gathered = 0;
      // Steady time; nothing here is told of wall time but what the program itself is told.
      let stepped = 0;
      for (let step = 0; step < STEPS; step++) {
        const steadyMs = step * STEP_MS;
        let elapsedMs = step === 0 ? 0 : STEP_MS;
        for (const [at, one] of events) {
          if (at !== step) continue;
          const nowMs = START_MS + steadyMs + stepped;
          if (one.kind === 'quiet') world.quiet.add(one.place);
          else if (one.kind === 'heard') world.quiet.delete(one.place);
          else if (one.kind === 'fault') world.faulty.add(one.place);
          else if (one.kind === 'mended') world.faulty.delete(one.place);
          else if (one.kind === 'hot' || one.kind === 'cold') {
            world.heat.set(one.place, one.kind);
          } else if (one.kind === 'open') world.open.set(one.place, nowMs);
          else if (one.kind === 'shut') world.open.delete(one.place);
          else if (one.kind === 'steady') world.steadySinceMs ??= nowMs;
          else if (one.kind === 'unsteady') world.steadySinceMs = null;
          else if (one.kind === 'dry') world.dry ??= nowMs;
          else if (one.kind === 'wet') world.dry = null;
          else if (one.kind === 'new-run') {
            world.run++;
            world.dry = null;
            world.steadySinceMs = null;
          } else if (one.kind === 'clock') {
            stepped -= 45 * 60_000;
            world.stepMs = nowMs + stepped;
          } else if (one.kind === 'restart') {
            const saved = JSON.parse(JSON.stringify(saveBook(book, nowMs))) as SavedAlerts;
            book = openBook(saved, nowMs);
            elapsedMs = 0;
          } else if (one.kind === 'acknowledge') {
            for (const id of [...book.alarms.keys()]) acknowledgeAlarm(book, id, nowMs);
          } else if (one.kind === 'shelve') {
            for (const id of [...book.alarms.keys()])
              if (shelveAlarm(book, id, one.minutes * 60_000, 'busy', nowMs).ok)
                shelfEndMs.set(id, steadyMs + one.minutes * 60_000);
          }
        }
        const nowMs = START_MS + steadyMs + stepped;
        const before = new Map([...book.alarms].map(([id, { life }]) => [id, life]));
        const facts = factsOf(world, nowMs);
        const judged = judgeAlerts(book, facts, watches(facts), setRule, createSay(nowMs, 'UTC', []), {
          nowMs,
          elapsedMs,
        });
        for (const notice of judged.decided) notices.push({ notice, atMs: steadyMs });
        toldOneByOne += judged.notices.filter(({ rule }) => rule !== 'many-at-once').length;
        gathered += judged.notices
          .filter(({ rule }) => rule === 'many-at-once')
          .reduce((sum, { number }) => sum + (number?.value ?? 0), 0);
        raises += judged.records.filter(({ state }) => state === 'active').length;

        for (const [id, { subject, life }] of book.alarms) {
          const standing = life.state === 'active' || life.state === 'acknowledged';
          // Nothing is lost: what stands was told, unless a person or the quiet hours hold it.
          const held =
            life.shelf !== null ||
            life.state === 'acknowledged' ||
            (quietHours && ruleOf(subject.rule).priority === 'low');
          if (standing && !held && life.told === null) throw new Error(`${id} stands and nobody was told`);
          // Every shelf ends when it was said to; it may be told again in between, never later.
          if (life.shelf !== null && steadyMs - STEP_MS > (shelfEndMs.get(id) ?? 0))
            throw new Error(`${id} is still shelved`);
          if (life.shelf !== null) shelves++;
        }
        for (const [id, life] of before) {
          const stood = life.state === 'active' || life.state === 'acknowledged';
          const station = id.split(':')[1] as Place;
          const blind = world.quiet.has(station) && !id.startsWith('station-quiet');
          if (!stood || !blind) continue;
          frozenSteps++;
          // Nothing clears by missing data.
          const after = book.alarms.get(id)?.life.state;
          if (after !== life.state) throw new Error(`${id} went from ${life.state} to ${after} in silence`);
        }
        // Memory: no more than there are things to watch.
        if (book.alarms.size > 30 || book.news.size > 4) throw new Error('more than there is to watch');
      }

      const demand = (holds: boolean, promise: string): void => {
        if (!holds) throw new Error(promise);
      };
      demand(
        toldOneByOne + gathered + (book.crowd.gathered?.count ?? 0) === notices.length,
        'gathered notices are counted',
      );
      demand(new Set(notices.map(({ notice }) => notice.id)).size === notices.length, 'an id is given once');
      const last = new Map<string, { reason: string; atMs: number }>();
      const firsts = new Set<string>();
      for (const { notice, atMs } of notices) {
        const place = notice.id.split(':').slice(0, -2).join(':');
        const earlier = last.get(place);
        const rule = ruleOf(notice.rule as Parameters<typeof ruleOf>[0]);
        if (notice.kind === 'alarm') {
          if (notice.reason === 'first' && earlier && rule.tellsReturn)
            demand(earlier.reason === 'returned', 'raised again only after its end was told');
          if (notice.reason === 'returned') demand(earlier?.reason !== 'returned', 'an end is told once');
          if (notice.reason === 'repeat') {
            repeats++;
            demand(atMs - (earlier?.atMs ?? atMs) >= 1000 * rule.repeatS.usual, 'no repeat before its time');
          }
        } else {
          if (notice.reason === 'first') {
            const run = `${notice.rule} ${notice.id.split(':').at(-2)}`;
            demand(!firsts.has(run), 'news is told once a run');
            firsts.add(run);
            news++;
          }
          if (notice.reason === 'withdrawn') {
            withdrawals++;
            demand(earlier !== undefined && earlier.reason !== 'withdrawn', 'withdrawn only what was told');
          }
        }
        last.set(place, { reason: notice.reason, atMs });
      }
    }),
    { numRuns: SCHEDULES, seed: 20261125 },
  );
  // The schedules did bring about what they are meant to try.
  for (const count of [raises, frozenSteps, repeats, shelves, news, withdrawals])
    expect(count).toBeGreaterThan(SCHEDULES / 200);
}, 600_000);
