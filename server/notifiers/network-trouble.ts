/** What a failed connection means for a person: pure, from the stable codes of Node and OpenSSL. */
import { type Answer, fault, later } from './answer.ts';

/** Codes of X.509 verification as OpenSSL and Node name them (https://nodejs.org/api/tls.html, "X509 certificate error codes"). */
const CERTIFICATE_WORDS: Readonly<Record<string, string>> = {
  DEPTH_ZERO_SELF_SIGNED_CERT: 'signed by itself',
  SELF_SIGNED_CERT_IN_CHAIN: 'signed by an authority that this computer does not know',
  UNABLE_TO_VERIFY_LEAF_SIGNATURE: 'signed by an authority that this computer does not know',
  UNABLE_TO_GET_ISSUER_CERT: 'signed by an authority that this computer does not know',
  UNABLE_TO_GET_ISSUER_CERT_LOCALLY: 'signed by an authority that this computer does not know',
  CERT_UNTRUSTED: 'signed by an authority that this computer does not trust',
  CERT_HAS_EXPIRED: 'out of date',
  CERT_NOT_YET_VALID: 'not valid yet: is this computer’s clock right?',
  CERT_REVOKED: 'revoked',
  ERR_TLS_CERT_ALTNAME_INVALID: 'made out to another name than the one in the bench file',
};

/** Codes that say no more than that something failed; the true one may lie within. */
const WRAPPERS = new Set(['ESOCKET', 'ECONNECTION', 'ETLS']);
const UNREACHABLE = new Set(['EHOSTUNREACH', 'ENETUNREACH', 'EHOSTDOWN', 'ENETDOWN', 'EADDRNOTAVAIL']);
const LOST = new Set([
  'ECONNECTION',
  'ECONNRESET',
  'EPIPE',
  'ECONNABORTED',
  'ERR_STREAM_PREMATURE_CLOSE',
  'HPE_INVALID_CONSTANT',
]);

/** `who` as a person would say it: "the mail server". */
export function networkAnswer(error: unknown, who: string): Answer {
  const code = errorCode(error);
  const name = `${who.charAt(0).toUpperCase()}${who.slice(1)}`;
  const certificate = CERTIFICATE_WORDS[code];
  if (certificate !== undefined)
    return fault(
      'certificate',
      `The certificate of ${who} is ${certificate}. Nothing was sent. Mend the certificate, or name the authority that signed it as ca_file.`,
    );
  if (code === 'ENOTFOUND' || code === 'EAI_AGAIN' || code === 'ENODATA' || code === 'EDNS')
    return later(
      'host-not-found',
      `The name of ${who} was not found: is it spelt right in the bench file, and is the network up?`,
    );
  if (code === 'ECONNREFUSED')
    return later(
      'connection-refused',
      `${name} refuses the connection: is it running, and is the port right?`,
    );
  if (UNREACHABLE.has(code)) return later('unreachable', `${name} cannot be reached: is the network up?`);
  if (code === 'ETIMEDOUT' || code === 'ESOCKETTIMEDOUT' || code === 'ABORT_ERR') return timedOut(who);
  if (LOST.has(code))
    return later('connection-lost', `The connection to ${who} broke off before it answered.`);
  if (code === 'EPROTO' || code.startsWith('ERR_SSL') || code.startsWith('ERR_TLS') || code === 'ETLS')
    return fault(
      'tls-failed',
      `No TLS could be agreed on with ${who} (${code}): is it the port for TLS, and is its TLS up to date?`,
    );
  return later('failed', `${name} could not be told (${code === '' ? 'no reason given' : code}).`);
}

export const timedOut = (who: string): Answer =>
  later(
    'timed-out',
    `The answer of ${who} did not come in time. It may have taken the message all the same.`,
  );

/** Node tries several addresses of a name and gathers the failures; the first is as good as any. */
export function errorCode(error: unknown): string {
  if (typeof error !== 'object' || error === null) return '';
  const { originalCode, code, errors, cause, name } = error as {
    /** nodemailer's, which puts a code of its own in place of the system's. */
    originalCode?: unknown;
    code?: unknown;
    errors?: unknown;
    cause?: unknown;
    name?: unknown;
  };
  if (typeof originalCode === 'string') return originalCode;
  if (typeof code === 'string' && !WRAPPERS.has(code)) return code;
  if (Array.isArray(errors) && errors.length > 0) return errorCode(errors[0]);
  if (cause !== undefined) {
    const inner = errorCode(cause);
    if (inner !== '') return inner;
  }
  if (name === 'AbortError') return 'ABORT_ERR';
  return typeof code === 'string' ? code : '';
}
