import { expect, test } from 'vitest';
import { decideHost, decideOrigin } from '../../server/api/hosts.ts';
import { isLoopback } from '../../server/config/loopback.ts';

const atHome = { loopback: true, names: new Set<string>() };
const onTheNetwork = { loopback: false, names: new Set(['workshop', 'workshop.local']) };

test.each([
  ['127.0.0.1:7323', 'ours', 'ours'],
  ['localhost:7323', 'ours', 'ours'],
  ['LOCALHOST', 'ours', 'ours'],
  ['localhost.:7323', 'ours', 'ours'],
  ['[::1]:7323', 'ours', 'ours'],
  ['127.9.9.9', 'ours', 'ours'],
  ['192.168.1.20:7323', 'foreign', 'ours'],
  ['[fe80::1]:7323', 'foreign', 'ours'],
  ['workshop.local:7323', 'foreign', 'ours'],
  ['evil.example', 'foreign', 'foreign'],
  ['evil.example:7323', 'foreign', 'foreign'],
  // Names made to look like addresses.
  ['127.0.0.1.evil.example', 'foreign', 'foreign'],
  ['localhost.evil.example', 'foreign', 'foreign'],
  ['127.0.0.1@evil.example', 'foreign', 'foreign'],
  ['evil.example#127.0.0.1', 'foreign', 'foreign'],
  ['127.0.0.1:7323, evil.example', 'foreign', 'foreign'],
  ['127.1', 'foreign', 'foreign'],
  ['', 'missing', 'missing'],
  [undefined, 'missing', 'missing'],
])('Host %j is %s at home and %s on the network', (host, home, network) => {
  expect([decideHost(host, atHome), decideHost(host, onTheNetwork)]).toEqual([home, network]);
});

test.each([
  ['http://127.0.0.1:7323', '127.0.0.1:7323', undefined, 'same'],
  ['https://workshop.local', 'workshop.local', 'same-origin', 'same'],
  ['http://LocalHost:7323', 'localhost:7323', undefined, 'same'],
  [undefined, '127.0.0.1:7323', undefined, 'none'],
  [undefined, '127.0.0.1:7323', 'none', 'none'],
  ['http://evil.example', '127.0.0.1:7323', undefined, 'foreign'],
  // Another port of the same machine is another origin.
  ['http://127.0.0.1:8000', '127.0.0.1:7323', undefined, 'foreign'],
  ['http://localhost:7323', '127.0.0.1:7323', undefined, 'foreign'],
  ['null', '127.0.0.1:7323', undefined, 'foreign'],
  ['file://', '127.0.0.1:7323', undefined, 'foreign'],
  ['http://127.0.0.1:7323.evil.example', '127.0.0.1:7323', undefined, 'foreign'],
  ['http://evil.example/127.0.0.1:7323', '127.0.0.1:7323', undefined, 'foreign'],
  ['http://127.0.0.1:7323', '127.0.0.1:7323', 'cross-site', 'foreign'],
  [undefined, '127.0.0.1:7323', 'same-site', 'foreign'],
  ['http://undefined', undefined, undefined, 'foreign'],
])('Origin %j to Host %j with fetch site %j is %s', (origin, host, site, decision) => {
  expect(decideOrigin(origin, host, site)).toBe(decision);
});

test('loopback is the whole of 127/8, ::1 and localhost', () => {
  expect(['127.0.0.1', '127.255.0.3', '::1', 'localhost'].every(isLoopback)).toBe(true);
  expect(['0.0.0.0', '::', '192.168.1.2', '128.0.0.1', 'workshop', '127.evil.example'].some(isLoopback)).toBe(
    false,
  );
});
