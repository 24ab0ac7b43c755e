/** Messages as JSON by HTTP POST, signed where a secret is given. */
import { request as httpRequest } from 'node:http';
import { request as httpsRequest } from 'node:https';
import type { Clock } from '../clock.ts';
import { isLoopback } from '../config/loopback.ts';
import type { WebhookReceiver } from '../config/receivers.ts';
import { type Answer, fault } from './answer.ts';
import { readAuthorities } from './authorities.ts';
import { httpAnswer } from './http-answer.ts';
import { networkAnswer, timedOut } from './network-trouble.ts';
import { type Environment, readSecret, type SecretReading } from './secret.ts';
import { sign } from './signature.ts';
import type { Way } from './way.ts';
import { webhookBody } from './webhook-body.ts';

/** What a receiver answers beside its status is not read, only waited for up to this. */
const LONGEST_ANSWER_BYTES = 64 * 1024;
const WHO = 'the receiver';

export function webhookWay(
  receiver: WebhookReceiver,
  parts: { readonly clock: Clock; readonly env: Environment; readonly version: string },
): Way {
  return {
    where: placeOf(receiver.url),
    folds: true,
    async deliver(message, signal) {
      const address: SecretReading =
        receiver.url.from === 'bench'
          ? { ok: true, value: receiver.url.url }
          : readSecret(receiver.url, 'address', parts.env);
      if (!address.ok) return address.answer;
      const secret = receiver.secret && readSecret(receiver.secret, 'secret', parts.env);
      if (secret && !secret.ok) return secret.answer;
      const authorities = readAuthorities(receiver.caPath);
      if (!authorities.ok) return authorities.answer;
      const url = webAddress(address.value);
      if (!url) return fault('address-unusable', 'The address is not like https://host/path.');

      const body = webhookBody(message);
      const timestampS = Math.floor(parts.clock.now().wallMs / 1000);
      const headers = {
        'content-type': 'application/json; charset=utf-8',
        'content-length': String(Buffer.byteLength(body)),
        'user-agent': `lowdew/${parts.version}`,
        'lowdew-notice': message.id,
        'lowdew-timestamp': String(timestampS),
        ...(secret ? { 'lowdew-signature': sign(secret.value, timestampS, body) } : {}),
      };
      return post(url, headers, authorities.ca, body, signal, () => parts.clock.now().wallMs);
    },
    close: async () => {},
  };
}

function post(
  url: URL,
  headers: Record<string, string>,
  ca: { readonly ca?: string[] },
  body: string,
  signal: AbortSignal,
  wallMs: () => number,
): Promise<Answer> {
  return new Promise((settle) => {
    const send = url.protocol === 'https:' ? httpsRequest : httpRequest;
    // A connection of its own each time: messages are hours apart, and a kept one has long been closed by then.
    const request = send(url, { method: 'POST', headers, agent: false, signal, ...ca }, (response) => {
      const answer = httpAnswer(response.statusCode ?? 0, response.headers, wallMs());
      // Some servers give up what they do when the asker hangs up, so the answer is heard to its end.
      let bytes = 0;
      response.on('data', (chunk: Buffer) => {
        bytes += chunk.length;
        if (bytes > LONGEST_ANSWER_BYTES) request.destroy();
      });
      response.on('error', () => settle(answer));
      response.on('close', () => settle(answer));
    });
    request.on('error', (error) => settle(signal.aborted ? timedOut(WHO) : networkAnswer(error, WHO)));
    request.end(body);
  });
}

function webAddress(text: string): URL | null {
  try {
    const url = new URL(text);
    return url.protocol === 'https:' || url.protocol === 'http:' ? url : null;
  } catch {
    return null;
  }
}

/** Host alone: paths and queries of webhooks often are their password. */
function placeOf(source: WebhookReceiver['url']): string {
  if (source.from === 'env') return `the address in ${source.name}`;
  if (source.from === 'file') return `the address in ${source.path}`;
  const { origin, protocol, hostname } = new URL(source.url);
  return protocol === 'http:' && !isLoopback(hostname.replace(/^\[|\]$/g, ''))
    ? `${origin}, readable on its way`
    : origin;
}
