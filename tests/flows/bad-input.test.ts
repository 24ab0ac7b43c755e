import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { startProgram } from './program.ts';

const folder = mkdtempSync(join(tmpdir(), 'lowdew-bad-input-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const file = (name: string, text: string): string => {
  writeFileSync(join(folder, name), text);
  return join(folder, name);
};
const GOOD = '[[source]]\nid = "usb"\ntcp = "127.0.0.1:1"\n[[station]]\nid = "box"\nrole = "drybox"\n';

const run = async (args: readonly string[], input?: string) => {
  const program = startProgram(args);
  if (input !== undefined) program.child.stdin.end(input);
  return { code: await program.ended(), out: program.out(), err: program.err() };
};

describe('a bench file', () => {
  test('with six different mistakes names them all, each with its line, and ends with 2', async () => {
    const path = file(
      'six.toml',
      '[[source]]\nid = "usb"\nbaud = "fast"\nport = "/dev/x"\n[[station]]\nid = "box"\nrole = "dryer"\n[[station]]\nid = "box"\nrole = "room"\n[[spool]]\nid = "gear"\nstation = "attic"\nmaterial = "nylon9"\nnet_mass_g = 0\n',
    );
    const { code, err } = await run(['run', '--bench', path]);
    expect(code).toBe(2);
    expect(err).toContain(
      `${path}:3: source "usb": baud = "fast": give a whole number from 300 to 4000000 baud.`,
    );
    expect(err).toContain(`${path}:7: station "box": role = "dryer" is not a role. Did you mean "drybox"?`);
    expect(err).toContain(`${path}:9: station "box": the id stands twice (first on line 6)`);
    expect(err).toContain(`${path}:13: spool "gear": station = "attic" is not the id of a [[station]]`);
    expect(err).toContain(`${path}:14: spool "gear": material = "nylon9" is not a known material.`);
    expect(err).toContain(`${path}:15: spool "gear": net_mass_g = 0: give a number from 1`);
    expect(err).toContain('6 mistakes in the bench file; mend them and try again.');
  });
  test('that is not there', async () => {
    const { code, err } = await run(['run', '--bench', join(folder, 'none.toml')]);
    expect([code, err]).toEqual([
      2,
      expect.stringContaining(
        'does not exist. Name another with --bench, or leave it out: the one in the data',
      ),
    ]);
  });
  test('that is not there, for commands that simulate nothing', async () => {
    const gone = join(folder, 'none.toml');
    const looked = await run(['check', '--bench', gone]);
    expect(looked.code).toBe(2);
    expect(looked.err).toContain(
      'or leave it out: the one in the data folder is looked over then, if there is one.',
    );
    const again = await run(['replay', gone, '--bench', gone]);
    expect(again.code).toBe(2);
    expect(again.err).toContain('does not exist. Name another with --bench.');
    for (const { err } of [looked, again]) expect(err).not.toContain('simulated');
  });
  test('that is a folder', async () => {
    const { code, err } = await run(['run', '--bench', folder]);
    expect([code, err]).toEqual([2, expect.stringContaining('is a folder; name the bench file in it')]);
  });
  test('a replay needs one', async () => {
    const { code, err } = await run(['replay', 'x']);
    expect([code, err]).toEqual([2, expect.stringContaining("required option '--bench <file>'")]);
  });
});

test('a data folder that cannot be used ends with 4 and says how to name another', async () => {
  // A file where a folder should be: the one way that also stops root.
  const path = file('not-a-folder', '');
  const { code, err } = await run([
    'run',
    '--bench',
    file('good.toml', GOOD),
    '--data',
    join(path, 'x'),
    '--listen',
    '127.0.0.1:0',
  ]);
  expect(code).toBe(4);
  expect(err).toContain('Name another data folder with --data or data_dir.');
});

test('a listening port that is taken ends with 5 and names the port', async () => {
  const taken = createServer().listen(0, '127.0.0.1');
  await new Promise((settle) => taken.once('listening', settle));
  const address = taken.address();
  const port = typeof address === 'object' ? address?.port : 0;
  const { code, err } = await run([
    'run',
    '--bench',
    file('good2.toml', GOOD),
    '--data',
    join(folder, 'data'),
    '--listen',
    `127.0.0.1:${port}`,
  ]);
  taken.close();
  expect(code).toBe(5);
  expect(err).toContain(`127.0.0.1:${port} is taken: is lowdew running already?`);
});

test('a port that does not exist is told with what to do, and waited for', async () => {
  const bench = file(
    'absent.toml',
    '[[source]]\nid = "usb"\nport = "/dev/tty-not-there"\n[[station]]\nid = "box"\nrole = "drybox"\n',
  );
  const program = startProgram([
    'run',
    '--bench',
    bench,
    '--data',
    join(folder, 'absent'),
    '--listen',
    '127.0.0.1:0',
  ]);
  await program.says(/The page: http/);
  const [told] = await program.says(/"code":"port-not-found".*/);
  expect(told).toContain('/dev/tty-not-there');
  program.child.kill('SIGTERM');
  expect(await program.ended()).toBe(0);
});

describe('options', () => {
  test('an unknown command is answered with a guess', async () => {
    const { code, err } = await run(['replya']);
    expect([code, err]).toEqual([
      2,
      expect.stringMatching(/unknown command 'replya'[\s\S]*Did you mean replay\?/),
    ]);
  });
  test('a number out of range', async () => {
    const { code, err } = await run(['plan', 'air', '--temperature', '121', '--rh', '50']);
    expect([code, err]).toEqual([2, expect.stringContaining('Give a number from -40 to 120 °C.')]);
  });
  test('a speed that is no number', async () => {
    const { code, err } = await run(['simulate', '--speed', 'fast']);
    expect([code, err]).toEqual([2, expect.stringContaining('Give a number from 0.1 to 3600 times.')]);
  });
  test('a scenario that is not there lists those that are', async () => {
    const { code, err } = await run(['simulate', 'moon']);
    expect([code, err]).toEqual([2, expect.stringContaining('gear-overnight')]);
  });
});

test('plan air --stdin answers the good rows, names the bad ones, and ends with 1', async () => {
  const { code, out } = await run(
    ['plan', 'air', '--stdin', '--format', 'json'],
    '70,5\n\n# a note\nx,5\n25,50,900\n25,101\n',
  );
  const rows = out
    .trim()
    .split('\n')
    .map((line) => JSON.parse(line) as Record<string, unknown>);
  expect(code).toBe(1);
  // Dew point of 70 °C, 5 %RH by IAPWS-95: 13.62 °C.
  expect(rows[0]?.['dewPointC']).toBeCloseTo(13.62, 2);
  expect(rows[1]).toEqual({ error: '"x" is not a number.', row: 4 });
  expect(rows[2]).toMatchObject({ pressureHPa: 900 });
  expect(rows[3]).toEqual({
    error: expect.stringContaining('humidity must be a number from 0 to 100'),
    row: 6,
  });
});
