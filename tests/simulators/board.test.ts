import { describe, expect, it } from 'vitest';
import { decodeLine } from '../../firmware-protocol/decode.ts';
import type { LineHello, LineReading } from '../../firmware-protocol/line.ts';
import { type BoardSpec, simulatedBoard } from '../../simulators/board.ts';
import { seededRandom } from '../../simulators/random.ts';

const reads: { station: string; atS: number }[] = [];
const steady = (station: string, atS: number) => {
  reads.push({ station, atS });
  return { values: { t: 21.5 + atS / 1000, rh: -1.2 }, faults: {} };
};
const make = (spec: Partial<BoardSpec> = {}) =>
  simulatedBoard(
    { board: 'shelf', everyMs: 2000, stations: ['box', 'room'], ...spec },
    steady,
    seededRandom(3),
  );

function decoded(bytes: string) {
  const readings: LineReading[] = [];
  const hellos: LineHello[] = [];
  const refused: string[] = [];
  for (const text of bytes.split('\n')) {
    if (text === '') continue;
    const result = decodeLine(text);
    if (!result.ok) refused.push(result.reason);
    else if (result.line.kind === 'hello') hellos.push(result.line);
    else readings.push(result.line);
  }
  return { readings, hellos, refused };
}

describe('a simulated board', () => {
  it('says hello, then one line a station at its interval, counted over its stations', () => {
    const { readings, hellos, refused } = decoded(make().advance(10_000));
    expect(refused).toEqual([]);
    expect(hellos).toHaveLength(1);
    expect(hellos[0]).toMatchObject({ board: 'shelf', facts: { every: '2000', reset: 'power-on' } });
    expect(readings.map((line) => line.seq)).toEqual([...Array(10).keys()]);
    expect(readings.map((line) => line.station).slice(0, 4)).toEqual(['box', 'room', 'box', 'room']);
    expect(readings[2]!.uptimeMs - readings[0]!.uptimeMs).toBe(2000);
    expect(readings[0]!.values['rh']).toBe(-1.2);
    expect(new Set(readings.map((line) => line.boot)).size).toBe(1);
  });

  it('sends the same whether stepped in one go or in crumbs', () => {
    const whole = make().advance(60_000);
    const crumbs = make();
    let text = '';
    for (let i = 0; i < 600; i++) text += crumbs.advance(100);
    expect(text).toBe(whole);
  });

  it('answers ? and =<ms>, and any nonsense, with a hello', () => {
    const board = make();
    board.advance(5000);
    board.receive('?\n');
    expect(decoded(board.advance(10)).hellos[0]!.facts['every']).toBe('2000');
    board.receive('=50');
    board.receive('0\r\n');
    const after = decoded(board.advance(10_000));
    expect(after.hellos[0]!.facts['every']).toBe('500');
    expect(after.readings.length).toBeGreaterThan(36);
    for (const refused of ['=99\n', '=60001\n', 'open\n']) {
      board.receive(refused);
      expect(decoded(board.advance(10)).hellos[0]!.facts['every'], refused).toBe('500');
    }
  });

  it('wraps uptime and sequence at 2^32 within one boot', () => {
    const { readings } = decoded(
      make({ startUptimeMs: 4_294_963_000, startSeq: 4_294_967_293, stations: ['box'] }).advance(12_000),
    );
    expect(new Set(readings.map((line) => line.boot)).size).toBe(1);
    expect(readings.map((line) => line.seq).slice(0, 5)).toEqual([
      4_294_967_293, 4_294_967_294, 4_294_967_295, 0, 1,
    ]);
    const uptimes = readings.map((line) => line.uptimeMs);
    expect(Math.min(...uptimes)).toBeLessThan(8000);
    for (let i = 1; i < uptimes.length; i++)
      expect((uptimes[i]! - uptimes[i - 1]! + 2 ** 32) % 2 ** 32).toBe(2000);
  });

  it('starts anew after a brown-out: other boot id, sequence and uptime from zero, cause told', () => {
    const { readings, hellos } = decoded(make({ resets: [{ atS: 7, cause: 'brown-out' }] }).advance(20_000));
    expect(hellos.map((hello) => hello.facts['reset'])).toEqual(['power-on', 'brown-out']);
    const [first, second] = [...new Set(readings.map((line) => line.boot))];
    expect(second).toBeDefined();
    expect(second).not.toBe(first);
    const after = readings.filter((line) => line.boot === second);
    expect(after[0]).toMatchObject({ seq: 0 });
    expect(after[0]!.uptimeMs).toBeLessThan(1000);
  });

  it('asks its sensors in the order of time', () => {
    reads.length = 0;
    make({ resets: [{ atS: 3.3, cause: 'watchdog' }] }).advance(9000);
    for (let i = 1; i < reads.length; i++) expect(reads[i]!.atS).toBeGreaterThanOrEqual(reads[i - 1]!.atS);
  });

  it('a drifting crystal shows in the uptime', () => {
    const { readings } = decoded(make({ clockPpm: 500, stations: ['box'] }).advance(3_600_000));
    const span = readings.at(-1)!.uptimeMs - readings[0]!.uptimeMs;
    expect(span / (2000 * (readings.length - 1))).toBeCloseTo(1.0005, 6);
  });
});

describe('line noise', () => {
  const stream = (noise: BoardSpec['noise'] & object): string => make({ noise }).advance(600_000);

  it('of single-character edits leaves every other line readable, and the sequence tells of the rest', () => {
    const { readings, refused } = decoded(stream([{ kind: 'edits', fromS: 0, toS: 600, rate: 0.3 }]));
    expect(refused.length).toBeGreaterThan(100);
    expect(readings.length).toBeGreaterThan(350);
    for (const line of readings) expect(line.values['rh']).toBe(-1.2);
  });

  it('merged and truncated lines are refused, none is misread', () => {
    for (const kind of ['merged', 'truncated', 'garbage'] as const) {
      const { readings, refused } = decoded(stream([{ kind, fromS: 100, toS: 200, rate: 0.5 }]));
      expect(refused.length, kind).toBeGreaterThan(10);
      expect(refused.length, kind).toBeLessThan(120);
      for (const line of readings) expect(line.values['rh']).toBe(-1.2);
    }
  });

  it('mute means no bytes while the board counts on', () => {
    const { readings, refused } = decoded(stream([{ kind: 'mute', fromS: 100, toS: 300 }]));
    expect(refused).toEqual([]);
    const seqs = readings.map((line) => line.seq);
    const jumps = seqs.slice(1).map((seq, i) => seq - seqs[i]!);
    expect(Math.max(...jumps)).toBe(201);
    expect(jumps.filter((jump) => jump !== 1)).toHaveLength(1);
  });

  it('a flood comes without line ends and stops again', () => {
    const bytes = stream([{ kind: 'flood', fromS: 100, toS: 110, rate: 2000 }]);
    const longest = Math.max(...bytes.split('\n').map((line) => line.length));
    expect(longest).toBeGreaterThan(3000);
    expect(bytes.length).toBeGreaterThan(20_000);
    const tail = bytes.slice(bytes.lastIndexOf('LD1 box', bytes.length - 2000));
    expect(decoded(tail).refused).toEqual([]);
  });
});
