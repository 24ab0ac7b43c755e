import { describe, expect, test } from 'vitest';
import { describeMistake, readBench } from '../../server/config/read-bench.ts';

const vocabulary = { materials: ['pa6', 'pa12', 'petg', 'pc'], things: ['petg', 'pmma', 'pla'] };
const read = (text: string) => readBench(text, 'bench.toml', vocabulary);
const mistakes = (text: string): string[] => {
  const reading = read(text);
  return reading.ok ? [] : reading.mistakes.map((mistake) => describeMistake('bench.toml', mistake));
};

const GOOD = `
[[source]]
id = "usb"
port = "/dev/serial/by-id/usb-example"

[[station]]
id = "box"
role = "drybox"

[[station]]
id = "rig"
role = "chamber"
inside = ["petg", "pmma"]

[[spool]]
id = "gear"
station = "box"
material = "pa6"
net_mass_g = 940
stored = "room"

[[pattern]]
source = "usb"
station = "rig"
columns = ["t", "-", "rh"]
`;

test('a bench with everything silent left to its defaults', () => {
  const reading = read(GOOD);
  expect(reading.ok && reading.bench).toMatchObject({
    listenHost: '127.0.0.1',
    listenPort: 7323,
    pressurePa: 101_325,
    tls: null,
    sources: [{ way: 'port', baud: 115_200 }],
    stations: [
      { id: 'box', airSupply: null, rhTolerancePercent: 1.8, temperatureToleranceC: 0.2 },
      { id: 'rig', readyBandC: 1, readyDriftCPer10Min: 0.5, inside: ['petg', 'pmma'], ceilingC: null },
    ],
    spools: [{ diameterMm: 1.75, reel: 'unknown', stored: 'room', fibreWtPercent: 0, limitWtPercent: null }],
  });
});

test('six different mistakes are all named at once, each with its line and a remedy', () => {
  const found = mistakes(`[[source]]
id = "usb"
port = "/dev/ttyUSB0"
tcp = "box:7000"

[[station]]
id = "box"
roll = "drybox"

[[station]]
id = "box"
role = "chambre"

[[spool]]
id = "gear"
station = "bax"
material = "pa66x"
net_mass_g = -4

[server]
listen = "7323"
`);
  expect(found).toEqual([
    'bench.toml:4: source "usb": says port and tcp; give one way in.',
    'bench.toml:6: station "box": role is missing.',
    'bench.toml:8: station "box": unknown key "roll". Did you mean "role"?',
    'bench.toml:11: station "box": the id stands twice (first on line 7); give each its own.',
    'bench.toml:12: station "box": role = "chambre" is not a role. Did you mean "chamber"? Known: drybox, storage, chamber, room, electronics.',
    'bench.toml:16: spool "gear": station = "bax" is not the id of a [[station]] in this file. Did you mean "box"? Known: box.',
    'bench.toml:17: spool "gear": material = "pa66x" is not a known material. Did you mean "pa6"? Known: pa6, pa12, petg, pc.',
    'bench.toml:18: spool "gear": net_mass_g = -4: give a number from 1 to 20000 g of filament, without the reel.',
    'bench.toml:21: [server]: listen = "7323" is not "host:port", like "127.0.0.1:7323".',
  ]);
});

describe('single mistakes', () => {
  const cases: [string, string, RegExp][] = [
    ['broken TOML', '[[station]\nid = "a"', /bench\.toml:1: the file: is not TOML: /],
    ['no station', '', /has no \[\[station\]\]; describe at least one/],
    [
      'unknown table',
      `${GOOD}[[sation]]\nid = "a"`,
      /unknown table or key "sation"\. Did you mean "station"\?/,
    ],
    ['one bracket', '[station]\nid = "a"', /write \[\[station\]\] with two brackets/],
    ['two brackets', `${GOOD}[[server]]\nlisten = "a:1"`, /write \[server\] with one bracket/],
    ['no way in', `${GOOD}[[source]]\nid = "s2"`, /says no way in; give one of port/],
    [
      'tcp port too large',
      `${GOOD}[[source]]\nid = "s2"\ntcp = "h:70000"`,
      /a port is a number from 1 to 65535/,
    ],
    [
      'regex without groups',
      `${GOOD}[[pattern]]\nsource="usb"\nstation="box"\nregex="T=(.*)"`,
      /names no group/,
    ],
    [
      'regex broken',
      `${GOOD}[[pattern]]\nsource="usb"\nstation="box"\nregex="(?<t>"`,
      /is not a regular expression/,
    ],
    [
      'thing unknown',
      GOOD.replace('"pmma"', '"pma"'),
      /"pma" is not a thing with a known ceiling\. Did you mean "pmma"/,
    ],
    ['one half of TLS', `${GOOD}[server]\ntls_cert = "a.pem"`, /tls_cert and tls_key go together/],
    ['pressure in Pa', `${GOOD}[site]\npressure_hpa = 101325`, /give a number from 300 to 1100 hPa/],
    [
      'two stdin',
      `${GOOD}[[source]]\nid="a"\nstdin=true\n[[source]]\nid="b"\nstdin=true`,
      /two sources read standard input/,
    ],
  ];
  for (const [name, text, expected] of cases)
    test(name, () => {
      const found = mistakes(text);
      expect(found.join('\n')).toMatch(expected);
      expect(found).toHaveLength(1);
    });
});

test('a calibration needs its day, and its constants stay within reason', () => {
  const station = '[[station]]\nid = "box"\nrole = "drybox"\n';
  const read = (keys: string) => readBench(`${station}${keys}`, null, { materials: [], things: [] });
  const good = read('calibrated = 2026-03-01\nrh_gain = 0.97\nrh_offset_percent = 1.2\nscale_span = 1.02\n');
  expect(good.ok && good.bench.stations[0]?.correction).toEqual({
    calibratedOn: '2026-03-01',
    rhGain: 0.97,
    rhOffsetPercent: 1.2,
    temperatureOffsetC: 0,
    scale: { zeroG: 0, zeroGPerK: 0, span: 1.02, spanPerK: 0, referenceC: 25 },
  });
  const plain = read('');
  expect(plain.ok && plain.bench.stations[0]?.correction).toBeNull();
  const wrong = read('rh_gain = 9\ncalibrated = "last week"\nrh_ofset_percent = 1\n');
  expect(wrong.ok ? [] : wrong.mistakes.map(({ message }) => message)).toEqual([
    expect.stringMatching(/rh_gain = 9: give a number from 0.5 to 2/),
    expect.stringMatching(/give the day of the calibration, like 2026-03-01/),
    expect.stringMatching(/unknown key "rh_ofset_percent".*rh_offset_percent/),
  ]);
  const dayless = read('temperature_offset_c = 0.3\n');
  expect(dayless.ok ? '' : dayless.mistakes[0]?.message).toMatch(/temperature_offset_c without calibrated/);
});
