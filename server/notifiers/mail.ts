/** Messages as plain-text mail, over SMTP (RFC 5321). */
import type { EmailReceiver } from '../config/receivers.ts';
import { type Answer, fault, later, taken } from './answer.ts';
import { readAuthorities } from './authorities.ts';
import { errorCode, networkAnswer, timedOut } from './network-trouble.ts';
import { type Environment, readSecret } from './secret.ts';
import type { Way } from './way.ts';

const WHO = 'the mail server';
/** Silence of the server in the midst of a mail; the courier's own patience is about the whole. */
const SILENCE_MS = 30_000;

/** As far as a mail's failure tells: nodemailer's own names and the server's reply. */
interface MailTrouble {
  readonly code?: unknown;
  readonly responseCode?: unknown;
  readonly message?: unknown;
}

export function mailWay(receiver: EmailReceiver, parts: { readonly env: Environment }): Way {
  return {
    where: `${receiver.to.length === 1 ? 'one mailbox' : `${receiver.to.length} mailboxes`} by ${receiver.host}:${receiver.port}`,
    folds: true,
    async deliver(message, signal) {
      const password = receiver.login && readSecret(receiver.login.password, 'password', parts.env);
      if (password && !password.ok) return password.answer;
      const authorities = readAuthorities(receiver.caPath);
      if (!authorities.ok) return authorities.answer;
      // Loaded when first needed: it costs megabytes, and most benches send no mail.
      const { createTransport } = await import('nodemailer');
      const transport = createTransport({
        host: receiver.host,
        port: receiver.port,
        secure: receiver.security === 'tls',
        requireTLS: receiver.security === 'starttls',
        ignoreTLS: receiver.security === 'none',
        ...(receiver.login && password ? { auth: { user: receiver.login.user, pass: password.value } } : {}),
        tls: authorities.ca,
        connectionTimeout: SILENCE_MS,
        greetingTimeout: SILENCE_MS,
        socketTimeout: SILENCE_MS,
        disableFileAccess: true,
        disableUrlAccess: true,
      });
      try {
        const { rejected } = await transport.sendMail({
          from: receiver.from,
          to: [...receiver.to],
          subject: message.subject,
          text: message.text,
          // A copy bears the same id, so that mail programs may show it once.
          messageId: `<${message.id.replace(/[^A-Za-z0-9.-]/g, '.')}@lowdew.invalid>`,
          // No out-of-office answers (RFC 3834).
          headers: { 'Auto-Submitted': 'auto-generated' },
          signal,
        });
        return rejected.length === 0
          ? taken('The mail server took the message.')
          : taken(`The mail server took the message, but not for ${rejected.length} of its recipients.`);
      } catch (error) {
        return signal.aborted ? timedOut(WHO) : mailAnswer(error as MailTrouble);
      } finally {
        transport.close();
      }
    },
    close: async () => {},
  };
}

/** A reply of 4yz is passing, one of 5yz is final (RFC 5321 §4.2.1). What the server says beside it may hold names. */
export function mailAnswer(error: MailTrouble): Answer {
  // After STARTTLS the cause is left in the message alone.
  if (error.code === 'ETLS' && /certificate|altnames/i.test(String(error.message)))
    return fault(
      'certificate',
      'The certificate of the mail server is not trusted: it is signed by itself or by an unknown authority, out of date, or made out to another name. Nothing was sent. Mend it, or name the authority that signed it as ca_file.',
    );
  if (error.code === 'ETLS' && errorCode(error) === 'ETLS')
    return fault(
      'tls-failed',
      'The mail server offers no TLS here: is the port right, and security = "tls" or "starttls"?',
    );
  const reply = typeof error.responseCode === 'number' ? error.responseCode : null;
  if (reply !== null && reply >= 400 && reply < 500)
    return later('receiver-failed', `The mail server cannot take it now (${reply}).`);
  if (error.code === 'EAUTH' || reply === 534 || reply === 535)
    return fault(
      'login-refused',
      `The mail server does not accept user and password${reply === null ? '' : ` (${reply})`}.`,
    );
  if (reply === 530)
    return fault(
      'login-refused',
      'The mail server wants a login or TLS first (530): give user and password.',
    );
  if (reply === 552 || reply === 554)
    return fault('mail-refused', `The mail server does not take this message (${reply}).`, 'content');
  if (reply !== null)
    return fault(
      'mail-refused',
      `The mail server refuses (${reply}): are the mailboxes under from and to spelt right, and may this user send for them?`,
    );
  return networkAnswer(error, WHO);
}
