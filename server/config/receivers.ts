/** Who is told of notices, as a bench file names them. Passwords stand in none of these: only where they are found. */
import type { AlertKind, Priority } from '../records.ts';

/** A secret lies in the environment, or in a file that its owner alone may read. */
export type SecretSource =
  | { readonly from: 'env'; readonly name: string }
  | { readonly from: 'file'; readonly path: string };

interface ReceiverBase {
  readonly id: string;
  /** Notices below it are not for this receiver. */
  readonly leastPriority: Priority;
  readonly kinds: readonly AlertKind[];
  /** A certificate authority of one's own, beside those that every system knows. */
  readonly caPath: string | null;
}

export interface WebhookReceiver extends ReceiverBase {
  readonly kind: 'webhook';
  /** Many services put a password into the address itself, so that the address may be a secret too. */
  readonly url: { readonly from: 'bench'; readonly url: string } | SecretSource;
  /** Null: messages are not signed. */
  readonly secret: SecretSource | null;
}

export interface EmailReceiver extends ReceiverBase {
  readonly kind: 'email';
  readonly host: string;
  readonly port: number;
  /** `tls` from the first byte, `starttls` before anything is said, or `none`. */
  readonly security: 'tls' | 'starttls' | 'none';
  readonly login: { readonly user: string; readonly password: SecretSource } | null;
  readonly from: string;
  readonly to: readonly string[];
}

export interface MqttReceiver extends ReceiverBase {
  readonly kind: 'mqtt';
  readonly url: string;
  /** First levels of every topic, without a slash at either end. */
  readonly prefix: string;
  readonly login: { readonly user: string; readonly password: SecretSource } | null;
  readonly protocol: '3.1.1' | '5';
  /** Publishes the stations' and spools' state each minute. */
  readonly live: boolean;
}

export type ReceiverConfig = WebhookReceiver | EmailReceiver | MqttReceiver;
