/** Lines as sketches print them, and what a person who knows the sketch says that they hold. */
import { expect, test } from 'vitest';
import { guessLines } from '../../server/intake/guess/guess-lines.ts';
import { matchPattern } from '../../server/intake/pattern.ts';

const DEGREE_UTF8 = '\u00c2\u00b0';
const DEGREE_LATIN1 = '\u00b0';

/** What the proposed patterns make of a line. */
const read = (lines: readonly string[], line: string, told?: readonly string[]) => {
  for (const { take } of guessLines(lines, told).patterns) {
    const match = matchPattern({ source: '', station: '', take }, line);
    if (match.ok) return match.values;
  }
  return null;
};

/** Name, lines, values of the last line. */
const STYLES: readonly (readonly [string, string, readonly string[], Record<string, number>])[] = [
  ['key=value', 'named', ['T=23.41 H=45.2', 'T=9.5 H=45.0'], { t: 9.5, rh: 45 }],
  ['key:value with commas', 'named', ['Temp:23.4,Hum:45.2', 'Temp:23.5,Hum:-0.3'], { t: 23.5, rh: -0.3 }],
  [
    'CSV with names',
    'columns',
    ['millis,temp,hum', '1000,23.4,45.2', '2000,23.5,45.1'],
    { t: 23.5, rh: 45.1 },
  ],
  [
    'CSV with names and units',
    'columns',
    ['RH (%), Temp (C)', '45.2, 23.4', '45.1, 23.5'],
    { t: 23.5, rh: 45.1 },
  ],
  ['CSV without names', 'columns', ['70.1,5.2', '70.2,5.1'], { t: 70.2, rh: 5.1 }],
  [
    'JSON',
    'json',
    ['{"id":"a","temperature":23.4,"humidity":45.2}', '{"id":"a","temperature":23.5,"humidity":45.1}'],
    { t: 23.5, rh: 45.1 },
  ],
  [
    'prose',
    'prose',
    [
      `The temperature is 23.4 ${DEGREE_UTF8}C and the humidity is 45 %.`,
      `The temperature is 23.5 ${DEGREE_UTF8}C and the humidity is 46 %.`,
    ],
    { t: 23.5, rh: 46 },
  ],
  [
    'a usual example of a sensor library',
    'named',
    [
      `Humidity: 45.00%  Temperature: 23.40${DEGREE_LATIN1}C 74.12${DEGREE_LATIN1}F`,
      `Humidity: 45.10%  Temperature: 23.50${DEGREE_LATIN1}C 74.30${DEGREE_LATIN1}F`,
    ],
    { t: 23.5, rh: 45.1, x_f: 74.3 },
  ],
  [
    'unit with the name',
    'prose',
    ['Temp *C = 23.41\t\tHum. % = 45.20', 'Temp *C = 9.4\t\tHum. % = 45.2'],
    { t: 9.4, rh: 45.2 },
  ],
  [
    'tabs',
    'columns',
    ['17\t23.4\t45.2\t1013.2', '19\t23.4\t45.1\t1013.1', '25\t23.4\t45.0\t1013.0'],
    { t: 23.4, rh: 45, p: 1013 },
  ],
  ['letters glued to numbers', 'prose', ['T23.4 H45.2', 'T23.5 H45.1'], { t: 23.5, rh: 45.1 }],
  ['names without signs', 'prose', ['T 23.4 RH 45', 'T 23.4 RH 44'], { t: 23.4, rh: 44 }],
  ['units alone', 'prose', ['23.4 C 45 %', '23.4 C 44 %'], { t: 23.4, rh: 44 }],
  [
    'a time in front',
    'named',
    ['2026-03-01 16:04:05 temp=23.4 hum=45', '2026-03-01 17:05:06 temp=23.5 hum=45'],
    { t: 23.5, rh: 45 },
  ],
  ['a name in front', 'prose', ['box,23.4,45', 'box,23.5,45'], { t: 23.5, rh: 45 }],
  [
    'bed and air',
    'named',
    ['bed temp: 90.0 air temp: 48.1', 'bed temp: 90.1 air temp: 48.2'],
    { tb: 90.1, t: 48.2 },
  ],
];

test.each(STYLES)('%s is taken in', (_, kind, lines, values) => {
  const guess = guessLines(lines);
  expect(guess.kind).toBe(kind);
  expect(guess.taken).toBe(guess.lines);
  expect(read(lines, lines.at(-1) as string)).toEqual(values);
});

test('what is said by name and unit is sure, what by place alone is not, and it is said', () => {
  expect(guessLines(['T=23.4 H=45', 'T=23.5 H=45']).confidence).toBe('sure');
  // RH is the second number's name here, not the first one's unit.
  expect(guessLines(['T 23.4 RH 45', 'T 23.5 RH 45']).confidence).toBe('sure');
  const unnamed = guessLines(['23.4,45', '23.5,45']);
  expect(unnamed.confidence).toBe('likely');
  expect(unnamed.doubts.join()).toMatch(/which number is the temperature/);
  const percent = guessLines(['23.4 C 45 %', '23.5 C 45 %']);
  expect(percent.doubts.join()).toMatch(/% without a name/);
});

test('two temperatures: one is the air’s, the other is kept beside it, and the choice is told', () => {
  const lines = ['box 70.1 C room 22.3 C hum 5.1 %', 'box 70.2 C room 22.3 C hum 5.0 %'];
  const guess = guessLines(lines);
  expect(read(lines, lines[1] as string)).toEqual({ t: 70.2, x_room: 22.3, rh: 5 });
  expect(guess.doubts.join()).toMatch(/"box" was taken, the one named "room" is kept/);
  expect(read(lines, lines[1] as string, ['-', 't', 'rh'])).toEqual({ t: 22.3, rh: 5 });
});

test('columns that were taken the wrong way round are put right by naming them', () => {
  const lines = ['45.2,23.4', '45.1,23.5'];
  expect(read(lines, '45.1,23.5')).toEqual({ t: 45.1, rh: 23.5 });
  expect(read(lines, '45.1,23.5', ['rh', 't'])).toEqual({ rh: 45.1, t: 23.5 });
  expect(guessLines(['1013,2', '1014,2'], ['t', 'rh']).doubts.join()).toMatch(/1014 cannot be t/);
});

test('a reading spread over lines becomes a pattern for each', () => {
  const block = ['Temperature = 23.41 *C', 'Pressure = 1012.31 hPa', 'Humidity = 45.20 %', ''];
  const lines = [...block, ...block];
  const guess = guessLines(lines);
  expect(guess.patterns).toHaveLength(3);
  expect(block.map((line) => read(lines, line))).toEqual([{ t: 23.41 }, { p: 1012.31 }, { rh: 45.2 }, null]);
  expect(guess.doubts.join()).toMatch(/separate lines/);
});

test('what comes in a unit that lowdew does not read is kept apart and told', () => {
  expect(guessLines(['74.1 F, 45 %', '74.2 F, 45 %']).doubts.join()).toMatch(/in °F; lowdew reads °C/);
  expect(read(['74.1 F, 45 %', '74.2 F, 45 %'], '74.2 F, 45 %')).toEqual({ x_f: 74.2, rh: 45 });
  expect(guessLines(['p: 101325 Pa', 'p: 101330 Pa']).doubts.join()).toMatch(/in Pa; lowdew reads hPa/);
  expect(guessLines(['temp: 512 hum: 300', 'temp: 513 hum: 300']).doubts.join()).toMatch(/raw count/);
  expect(guessLines(['t=21 h=0.45', 't=21 h=0.46']).doubts.join()).toMatch(/between 0 and 1/);
});

test('decimal commas are refused in words rather than read as two numbers', () => {
  for (const lines of [
    ['23,4;45,2', '23,5;45,1'],
    ['Temp: 23,4 C', 'Temp: 23,5 C'],
    ['23,4 45,2', '23,5 45,1'],
  ]) {
    const guess = guessLines(lines);
    expect(guess.patterns).toEqual([]);
    expect(guess.refusedExample?.why).toMatch(/decimal commas/);
  }
  expect(guessLines(['23,45', '24,45']).kind).toBe('columns');
});

test('a sensor’s "nan" is a fault of a known key, not another kind of line', () => {
  const lines = ['T=23.4 H=45.2', 'T=nan H=nan', 'T=23.5 H=45.0'];
  const guess = guessLines(lines);
  expect(guess.taken).toBe(3);
  const take = guess.patterns[0]?.take as { regex: string };
  expect(matchPattern({ source: '', station: '', take }, 'T=nan H=nan')).toMatchObject({
    ok: true,
    faults: { t: 'nack', rh: 'nack' },
  });
});

test('LD1 and SenML need no pattern', () => {
  // Both from the page of the line format; the hello's station is nobody's.
  const ld1 = guessLines(['LD1 box 3f2a 41 4294967290 t=70.02 rh=4.81 m=1184.20 *A2E5']);
  expect(ld1).toMatchObject({ kind: 'ld1', stations: ['box'], patterns: [], confidence: 'sure' });
  const senml = guessLines(['[{"bn":"room/","n":"t","u":"Cel","v":21.5},{"n":"rh","u":"%RH","v":48}]']);
  expect(senml).toMatchObject({ kind: 'senml', stations: ['room'], patterns: [] });
});

test('what holds no reading is not made into one', () => {
  for (const lines of [[], ['hello', 'world'], ['SHT31 found at address', 'SHT31 found at address']]) {
    const guess = guessLines(lines);
    expect(guess).toMatchObject({ kind: 'unknown', patterns: [], taken: 0, confidence: 'none' });
  }
});

test('start-up text does not hide the readings', () => {
  const lines = ['Booting v1.2', 'WiFi off', ...Array(6).fill('temp=23.4;rh=45.1')];
  const guess = guessLines(lines);
  expect(guess).toMatchObject({ kind: 'named', lines: 8, taken: 6 });
  expect(guess.refusedExample?.line).toBe('Booting v1.2');
});
