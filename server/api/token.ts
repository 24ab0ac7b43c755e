/** The token that opens a server reachable from the network: made on first use, kept for its owner alone. */
import { createHmac, randomBytes, timingSafeEqual } from 'node:crypto';
import { chmodSync, mkdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { dirname } from 'node:path';
import { ServeError } from './errors.ts';

export interface KeptToken {
  readonly token: string;
  /** Just made: to be shown once, in the terminal. */
  readonly isNew: boolean;
  /** Others on this machine could read the file until now. */
  readonly wasExposed: boolean;
}

/** 192 bits: not to be guessed, however many try. */
const TOKEN_BYTES = 24;
const TOKEN_PATTERN = /^[A-Za-z0-9_-]{32,256}$/;
const OWNER_ONLY = 0o600;

export function keepToken(path: string): KeptToken {
  try {
    const kept = readIfThere(path);
    if (kept === null) {
      const token = randomBytes(TOKEN_BYTES).toString('base64url');
      mkdirSync(dirname(path), { recursive: true });
      writeFileSync(path, `${token}\n`, { mode: OWNER_ONLY, flag: 'wx' });
      return { token, isNew: true, wasExposed: false };
    }
    if (!TOKEN_PATTERN.test(kept))
      throw new ServeError(
        'token-file',
        `${path} does not hold a token (at least 32 letters and digits). Delete it, and a new one is made.`,
      );
    // Windows has no such bits; there the user's own folder is private.
    const wasExposed = process.platform !== 'win32' && (statSync(path).mode & 0o077) !== 0;
    if (wasExposed) chmodSync(path, OWNER_ONLY);
    return { token: kept, isNew: false, wasExposed };
  } catch (error) {
    if (error instanceof ServeError) throw error;
    throw new ServeError(
      'token-file',
      `The token cannot be kept in ${path} (${(error as Error).message}).`,
      error,
    );
  }
}

function readIfThere(path: string): string | null {
  try {
    return readFileSync(path, 'utf8').trim();
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return null;
    throw error;
  }
}

export interface Gate {
  /** True for the token itself, as typed. */
  isToken(typed: string): boolean;
  /** True when the request carries the cookie, or the token as `Authorization: Bearer`. */
  isOpenTo(headers: {
    readonly cookie?: string | undefined;
    readonly authorization?: string | undefined;
  }): boolean;
  /** The whole Set-Cookie header. */
  cookie(overTls: boolean): string;
}

export const COOKIE_NAME = 'lowdew_entry';
const YEAR_S = 31_536_000;

export function createGate(token: string): Gate {
  // The cookie is made from the token but is not the token: what leaks from a browser does not open the file's scripts.
  const entry = createHmac('sha256', token).update('lowdew entry 1').digest('base64url');
  const equals = (given: string, wanted: string): boolean => {
    // Of equal length whatever was given, and compared in constant time.
    const digest = (text: string) => createHmac('sha256', token).update(text).digest();
    return timingSafeEqual(digest(given), digest(wanted));
  };
  return {
    isToken: (typed) => equals(typed, token),
    isOpenTo({ cookie, authorization }) {
      const bearer = /^Bearer ([A-Za-z0-9_-]+)$/i.exec(authorization ?? '')?.[1];
      if (bearer !== undefined && equals(bearer, token)) return true;
      const given = cookieValues(cookie ?? '');
      return given.some((value) => equals(value, entry));
    },
    cookie: (overTls) =>
      `${COOKIE_NAME}=${entry}; HttpOnly; SameSite=Strict; Path=/; Max-Age=${YEAR_S}${overTls ? '; Secure' : ''}`,
  };
}

/** Other servers on the same host share the jar, so there may be many cookies, and even several of this name. */
const MAX_COOKIES = 50;
function cookieValues(header: string): string[] {
  return header
    .split(';', MAX_COOKIES)
    .map((pair) => pair.trim())
    .filter((pair) => pair.startsWith(`${COOKIE_NAME}=`))
    .map((pair) => pair.slice(COOKIE_NAME.length + 1));
}
