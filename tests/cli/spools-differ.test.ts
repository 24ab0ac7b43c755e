import { expect, test } from 'vitest';
import { spoolsFromState } from '../../server/cli/keep-state.ts';
import { spoolsThatDiffer } from '../../server/cli/spools-differ.ts';
import { readBench } from '../../server/config/read-bench.ts';
import { MATERIAL_KEYS } from '../../server/physics/materials.ts';

const benchOf = (spools: string) => {
  const text = `[[source]]\nid = "usb"\nstdin = true\n[[station]]\nid = "box"\nrole = "drybox"\n${spools}`;
  const reading = readBench(text, null, { materials: MATERIAL_KEYS, things: [] });
  if (!reading.ok) throw new Error(JSON.stringify(reading.mistakes));
  return reading.bench;
};
const spool = (id: string, more: string): string =>
  `[[spool]]\nid = "${id}"\nstation = "box"\nmaterial = "pa6"\n${more}\n`;

/** A state in memory. */
const documentsOf = () => {
  const kept = new Map<string, unknown>();
  return {
    put: (kind: string, id: string, value: unknown) => void kept.set(`${kind} ${id}`, structuredClone(value)),
    all: (kind: string) =>
      [...kept].flatMap(([key, value]) =>
        key.startsWith(`${kind} `) ? [{ id: key.split(' ')[1]!, value }] : [],
      ),
  };
};

test('a mass changed in the bench file is not taken over, and that is said with what to do', () => {
  const documents = documentsOf();
  const first = benchOf(spool('gear', 'net_mass_g = 940'));
  expect(spoolsThatDiffer(first.spools, spoolsFromState(first, documents).spools)).toEqual([]);
  const changed = benchOf(spool('gear', 'net_mass_g = 700\nreel_mass_g = 210'));
  const kept = spoolsFromState(changed, documents).spools;
  expect(kept[0]!.netMassG).toBe(940);
  expect(spoolsThatDiffer(changed.spools, kept)).toEqual([
    'Spool "gear" is described otherwise in the bench file (net_mass_g 700 there, 940 on the bench; reel_mass_g 210 there, not said on the bench): what is on the bench counts. To change it, take it off and put it on again on the Spools screen.',
  ]);
});

test('a spool added to the bench file later is not taken over either, and that is said', () => {
  const documents = documentsOf();
  spoolsFromState(benchOf(spool('gear', 'net_mass_g = 940')), documents);
  const more = benchOf(spool('gear', 'net_mass_g = 940') + spool('hinge', 'net_mass_g = 500'));
  expect(spoolsThatDiffer(more.spools, spoolsFromState(more, documents).spools)).toEqual([
    expect.stringMatching(
      /^Spool "hinge" of the bench file is not on the bench: .* Put it on the bench on the Spools/,
    ),
  ]);
});
