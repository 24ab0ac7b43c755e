/** The checked bench: what the rest of the program is given once a bench file has been read and every mistake named. */
import type { Role } from '../records.ts';
import type { ReceiverConfig } from './receivers.ts';

export interface BenchConfig {
  /** Path of the bench file; null when the simulated bench or defaults are used. */
  readonly file: string | null;
  readonly sources: readonly SourceConfig[];
  readonly stations: readonly StationConfig[];
  readonly spools: readonly SpoolConfig[];
  readonly patterns: readonly PatternConfig[];
  /** Who is told of notices. */
  readonly receivers: readonly ReceiverConfig[];
  readonly listenHost: string;
  readonly listenPort: number;
  /** Null: the platform's user data folder. */
  readonly dataDir: string | null;
  /** Certificate and key for serving over TLS. */
  readonly tls: { readonly certPath: string; readonly keyPath: string } | null;
  readonly pressurePa: number;
}

/** Where lines come from. Exactly one of the ways in. */
export type SourceConfig = { readonly id: string } & (
  | { readonly way: 'port'; readonly path: string; readonly baud: number }
  | { readonly way: 'serial-number'; readonly serialNumber: string; readonly baud: number }
  | { readonly way: 'tcp'; readonly host: string; readonly port: number }
  | { readonly way: 'stdin' }
);

export interface StationConfig {
  readonly id: string;
  readonly role: Role;
  readonly airVolumeL: number | null;
  readonly airSupply: 'room' | 'desiccant' | 'closed' | null;
  readonly rhTolerancePercent: number;
  readonly temperatureToleranceC: number;
  readonly readyBandC: number;
  readonly readyDriftCPer10Min: number;
  readonly inside: readonly string[];
  readonly ceilingC: number | null;
  /** Chamber air under which it may be opened after a job; null: the usual. */
  readonly openBelowC: number | null;
  /** What its calibration found; null where its sensors are taken at their word. */
  readonly correction: CorrectionConfig | null;
}

/**
 * Humidity meant = rhGain · said + rhOffsetPercent; temperature meant = said + temperatureOffsetC; mass meant =
 * (said − zero) / span, both of them taken at the load cell's temperature.
 */
export interface CorrectionConfig {
  /** "2026-03-01". */
  readonly calibratedOn: string | null;
  readonly rhGain: number;
  readonly rhOffsetPercent: number;
  readonly temperatureOffsetC: number;
  readonly scale: {
    readonly zeroG: number;
    readonly zeroGPerK: number;
    readonly span: number;
    readonly spanPerK: number;
    readonly referenceC: number;
  } | null;
}

/** Roles of stations in which a spool can lie. */
export const SPOOL_ROLES: readonly Role[] = ['drybox', 'storage', 'chamber'];

export interface SpoolConfig {
  readonly id: string;
  readonly station: string;
  readonly material: string;
  readonly netMassG: number;
  readonly fibreWtPercent: number;
  readonly diameterMm: number;
  readonly reel: 'plastic' | 'cardboard' | 'unknown';
  readonly reelMassG: number | null;
  readonly stored: 'sealed-new' | 'desiccant' | 'room' | 'damp' | 'unknown';
  readonly storedRhPercent: number | null;
  readonly limitWtPercent: number | null;
}

export interface PatternConfig {
  readonly source: string;
  readonly station: string;
  readonly take: { readonly columns: readonly string[] } | { readonly regex: string };
}
