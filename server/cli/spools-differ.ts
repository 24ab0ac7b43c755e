/** Where a bench file describes spools otherwise than the state keeps them: said at start, for the state's count. Pure. */
import type { SpoolConfig } from '../config/bench.ts';

/** As a bench file writes them. */
const KEYS: Readonly<Record<Exclude<keyof SpoolConfig, 'id'>, string>> = {
  station: 'station',
  material: 'material',
  netMassG: 'net_mass_g',
  fibreWtPercent: 'fibre_wt_percent',
  diameterMm: 'diameter_mm',
  reel: 'reel',
  reelMassG: 'reel_mass_g',
  stored: 'stored',
  storedRhPercent: 'stored_rh_percent',
  limitWtPercent: 'limit_wt_percent',
};

/** A sentence for each spool of the file that is kept otherwise, or is not on the bench. */
export function spoolsThatDiffer(
  inFile: readonly SpoolConfig[],
  onBench: readonly SpoolConfig[],
): readonly string[] {
  return inFile.flatMap((described) => {
    const kept = onBench.find(({ id }) => id === described.id);
    if (!kept)
      return [
        `Spool "${described.id}" of the bench file is not on the bench: the file only begins the list of spools. Put it on the bench on the Spools screen, or take it out of the file.`,
      ];
    const differ = (Object.keys(KEYS) as (keyof typeof KEYS)[]).filter((key) => described[key] !== kept[key]);
    if (differ.length === 0) return [];
    const told = differ.map(
      (key) => `${KEYS[key]} ${described[key] ?? 'not said'} there, ${kept[key] ?? 'not said'} on the bench`,
    );
    return [
      `Spool "${described.id}" is described otherwise in the bench file (${told.join('; ')}): what is on the bench counts. To change it, take it off and put it on again on the Spools screen.`,
    ];
  });
}
