/** `[[receiver]]`: who is told of notices. Every mistake in it is noted; a password written into the file is one. */
import { dirname, isAbsolute, resolve } from 'node:path';
import { NAME_PATTERN } from '../../firmware-protocol/line.ts';
import { type AlertKind, PRIORITIES } from '../records.ts';
import { listOf, number, oneOf, type Reader, type Table, text, truth } from './fields.ts';
import { isLoopback } from './loopback.ts';
import type {
  EmailReceiver,
  MqttReceiver,
  ReceiverConfig,
  SecretSource,
  WebhookReceiver,
} from './receivers.ts';

const KINDS = ['webhook', 'email', 'mqtt'] as const;
const COMMON_KEYS = ['id', 'kind', 'least_priority', 'kinds', 'ca_file'];
const LOGIN_KEYS = ['user', 'password_env', 'password_file', 'password'];
/** `secret` and `password` are known only so that they can be refused with the remedy. */
const KEYS_OF: Readonly<Record<ReceiverConfig['kind'], readonly string[]>> = {
  webhook: [...COMMON_KEYS, 'url', 'url_env', 'url_file', 'secret_env', 'secret_file', 'secret'],
  email: [...COMMON_KEYS, ...LOGIN_KEYS, 'host', 'port', 'security', 'from', 'to'],
  mqtt: [...COMMON_KEYS, ...LOGIN_KEYS, 'url', 'prefix', 'protocol', 'live'],
};
export const RECEIVER_KEYS = [...new Set(Object.values(KEYS_OF).flat())];

const USUAL_PORT = { tls: 465, starttls: 587, none: 25 } as const;
const ALERT_KINDS: readonly AlertKind[] = ['news', 'alarm'];
/** Mail to more people than this is a list's work. */
const MOST_RECIPIENTS = 20;

/** One mailbox, as RFC 5322 has it, of the plain sort: `name@host`, or `Words <name@host>`. */
const MAILBOX = /^(?:[^<>@,;\r\n]*<[^\s<>@,;]+@[^\s<>@,;]+>|[^\s<>@,;]+@[^\s<>@,;]+)$/;
/** Levels of letters, digits, _ and -; the wildcards + and # and the broker's own $ are not for publishing. */
const PREFIX = /^[A-Za-z0-9_-]{1,32}(\/[A-Za-z0-9_-]{1,32}){0,7}$/;
const ENV_NAME = /^[A-Za-z_][A-Za-z0-9_]*$/;

/** `file` is the bench file's path, from which relative paths are meant. */
export function readReceiver(table: Table, file: string | null): ReceiverConfig | undefined {
  const kind = table.need('kind', oneOf('a kind of receiver', KINDS));
  const id = table.need('id', text('a name of 1–16 letters, digits, _ or -', NAME_PATTERN));
  const pathOf = readPath(file);
  const common = {
    leastPriority: table.may('least_priority', oneOf('a priority', PRIORITIES), 'low' as const),
    kinds: table.may('kinds', listOf(oneOf('a kind of notice', ALERT_KINDS)), ALERT_KINDS),
    caPath: table.may('ca_file', pathOf, null),
  };
  // Without a kind, any key of any may be meant.
  for (const key of kind === undefined ? [] : RECEIVER_KEYS)
    if (table.has(key) && !KEYS_OF[kind as ReceiverConfig['kind']].includes(key))
      table.note(key, `${key} is not for a receiver of kind "${kind}".`);
  switch (kind) {
    case 'webhook':
      return withId(id, common, readWebhook(table, pathOf));
    case 'email':
      return withId(id, common, readEmail(table, pathOf));
    case 'mqtt':
      return withId(id, common, readMqtt(table, pathOf));
    case undefined:
      return undefined;
  }
}

type Common = Pick<ReceiverConfig, 'leastPriority' | 'kinds' | 'caPath'>;
type Own<R extends ReceiverConfig> = Omit<R, 'id' | keyof Common>;

const withId = <R extends Own<ReceiverConfig>>(
  id: string | undefined,
  common: Common,
  own: R | undefined,
): (R & Common & { readonly id: string }) | undefined =>
  id === undefined || own === undefined ? undefined : { id, ...common, ...own };

function readWebhook(table: Table, pathOf: Reader<string>): Own<WebhookReceiver> | undefined {
  const written = table.may('url', readUrl(['http:', 'https:'], 'https://host/path'), null);
  const elsewhere = readSecret(table, 'url', pathOf);
  const secret = readSecret(table, 'secret', pathOf);
  if (table.has('url') && elsewhere !== null) table.note('url', 'give one of url, url_env, url_file.');
  if (!table.has('url') && elsewhere === null)
    table.note(null, 'url is missing: give url, or url_env or url_file where the address holds a password.');
  if (written !== null) return { kind: 'webhook', url: { from: 'bench', url: written }, secret };
  return elsewhere === null ? undefined : { kind: 'webhook', url: elsewhere, secret };
}

function readEmail(table: Table, pathOf: Reader<string>): Own<EmailReceiver> | undefined {
  const host = table.need('host', text('the name of a mail server', /^[A-Za-z0-9_.:-]+$/));
  const security = table.may('security', oneOf('a security', ['tls', 'starttls', 'none']), 'tls' as const);
  const port = table.may('port', number(1, 65_535, '', true), USUAL_PORT[security]);
  const login = readLogin(table, pathOf);
  const from = table.need('from', text('a mailbox, like "bench@example.org"', MAILBOX));
  const to = table.need('to', oneOrMore(text('a mailbox, like "me@example.org"', MAILBOX)));
  if (to && to.length > MOST_RECIPIENTS) table.note('to', `at most ${MOST_RECIPIENTS} recipients.`);
  if (login && security === 'none' && host !== undefined && !isLoopback(host))
    table.note(
      'security',
      'security = "none" would send the password readable over the network; use "starttls" or "tls".',
    );
  if (host === undefined || from === undefined || to === undefined) return undefined;
  return { kind: 'email', host, port, security, login, from, to };
}

function readMqtt(table: Table, pathOf: Reader<string>): Own<MqttReceiver> | undefined {
  const url = table.need('url', readUrl(['mqtt:', 'mqtts:'], 'mqtts://host:8883'));
  const prefix = table.may(
    'prefix',
    text('a topic of levels of letters, digits, _ and -, like "workshop/lowdew"', PREFIX),
    'lowdew',
  );
  const login = readLogin(table, pathOf);
  const protocol = table.may('protocol', oneOf('a version of MQTT', ['3.1.1', '5']), '3.1.1' as const);
  const live = table.may('live', truth, true);
  return url === undefined ? undefined : { kind: 'mqtt', url, prefix, login, protocol, live };
}

function readLogin(table: Table, pathOf: Reader<string>): { user: string; password: SecretSource } | null {
  const user = table.may('user', text('a user name'), null);
  const password = readSecret(table, 'password', pathOf);
  if (table.has('user') && password === null && !table.has('password'))
    table.note('user', 'user needs password_env or password_file.');
  if (!table.has('user') && password !== null) table.note(null, 'a password without a user: give user.');
  return user === null || password === null ? null : { user, password };
}

/** `<what>_env` or `<what>_file`. */
function readSecret(table: Table, what: string, pathOf: Reader<string>): SecretSource | null {
  const name = table.may(`${what}_env`, envName, null);
  const path = table.may(`${what}_file`, pathOf, null);
  if (what !== 'url' && table.has(what))
    // The value itself is not repeated: mistakes are printed.
    table.note(
      what,
      `write no ${what} into the bench file: name where it is found, with ${what}_env (an environment variable) or ${what}_file (a file that you alone may read).`,
    );
  if (name !== null && path !== null) {
    table.note(`${what}_file`, `give one of ${what}_env and ${what}_file.`);
    return null;
  }
  if (name !== null) return { from: 'env', name };
  return path === null ? null : { from: 'file', path };
}

/** The value is not repeated: who misunderstands the key has written the secret itself. */
const envName: Reader<string> = (raw, key, note) => {
  if (typeof raw === 'string' && ENV_NAME.test(raw)) return raw;
  note(key, `${key} is not the name of an environment variable, like "LOWDEW_PASSWORD".`);
  return undefined;
};

const readPath =
  (file: string | null): Reader<string> =>
  (raw, key, note) => {
    const path = text('the path of a file')(raw, key, note);
    if (path === undefined || file === null || isAbsolute(path)) return path;
    // A relative path is meant from where the bench file lies.
    return resolve(dirname(file), path);
  };

const oneOrMore =
  (each: Reader<string>): Reader<readonly string[]> =>
  (raw, key, note) => {
    const list = listOf(each)(Array.isArray(raw) ? raw : [raw], key, note);
    if (list?.length !== 0) return list;
    note(key, `${key} names nobody.`);
    return undefined;
  };

/** The address is not repeated in the mistake: it may hold a password. */
const readUrl =
  (protocols: readonly string[], like: string): Reader<string> =>
  (raw, key, note) => {
    const url = typeof raw === 'string' ? parseUrl(raw) : null;
    if (!url || !protocols.includes(url.protocol) || url.hostname === '') {
      note(key, `${key} is not an address like "${like}".`);
      return undefined;
    }
    if (url.username !== '' || url.password !== '') {
      note(key, `${key} holds a user or a password: take them out and name them by keys of their own.`);
      return undefined;
    }
    return raw as string;
  };

export function parseUrl(address: string): URL | null {
  try {
    return new URL(address);
  } catch {
    return null;
  }
}
