/**
 * Words of the binding on the left: on Linux and macOS from its sources (serialport_unix.cpp: "Error: %s, cannot open
 * %s", "Error %s Cannot lock port") with the C library's strerror; on Windows from serialport_win.cpp.
 */
import { describe, expect, test } from 'vitest';
import type { PortListing } from '../../server/serial/list-ports.ts';
import { explainPortFailure, explainTcpFailure, SOURCE_CODES } from '../../server/serial/trouble.ts';

const port = { path: '/dev/ttyUSB0', baud: 250_001 };
const nothing: PortListing = { ports: [], note: null };
const board = {
  path: '/dev/ttyACM0',
  byIdPath: '/dev/serial/by-id/usb-Maker_Board_1-if00',
  serialNumber: '1',
  manufacturer: null,
  vendorId: null,
  productId: null,
};

describe('why a port did not open', () => {
  test.each([
    [
      'Error: No such file or directory, cannot open /dev/ttyUSB0',
      'linux',
      'port-not-found',
      'There is no port /dev/ttyUSB0. Plugged in now: /dev/serial/by-id/usb-Maker_Board_1-if00.',
    ],
    [
      'Error: No such device or address, cannot open /dev/ttyUSB0',
      'linux',
      'port-not-found',
      'There is no port',
    ],
    ['Opening COM3: File not found', 'win32', 'port-not-found', 'There is no port'],
    [
      'Error Resource temporarily unavailable Cannot lock port',
      'linux',
      'port-busy',
      '"fuser -v /dev/ttyUSB0" names it',
    ],
    ['Error: Device or resource busy, cannot open /dev/ttyUSB0', 'linux', 'port-busy', 'another lowdew'],
    [
      'Error: Resource busy, cannot open /dev/cu.usbmodem1',
      'darwin',
      'port-busy',
      '"lsof /dev/ttyUSB0" names it',
    ],
    ['Opening COM3: Access denied', 'win32', 'port-busy', 'one of the programs that are open now'],
    [
      'Error: Permission denied, cannot open /dev/ttyUSB0',
      'linux',
      'port-permission',
      'sudo usermod -aG dialout $USER',
    ],
    [
      'Error: Operation not permitted, cannot open /dev/ttyUSB0',
      'linux',
      'port-permission',
      'mostly dialout',
    ],
    [
      'Error: Permission denied, cannot open /dev/cu.usbmodem1',
      'darwin',
      'port-permission',
      'read and write access',
    ],
    [
      'Error: Inappropriate ioctl for device setting custom baud rate of 250001',
      'linux',
      'port-not-serial',
      'is not a serial port',
    ],
    ['Error: Is a directory, cannot open /dev/serial', 'linux', 'port-not-serial', 'is not a serial port'],
    [
      'Error baud rate of 250001 is not supported on your platform',
      'linux',
      'port-baud',
      'cannot be set to 250001 baud',
    ],
    [
      'No native build was found for platform=linux arch=mips',
      'linux',
      'port-library',
      'Use a serial bridge over TCP',
    ],
    ['Error: Input/output error, cannot open /dev/ttyUSB0', 'linux', 'port-failed', 'Input/output error'],
  ])('%s on %s is %s', (words, platform, code, part) => {
    const trouble = explainPortFailure(words, port, { ports: [board], note: null }, platform);
    expect(trouble.code).toBe(code);
    expect(trouble.sentence).toContain(part);
    expect(SOURCE_CODES).toContain(trouble.code);
  });

  test('with nothing plugged in, asks for the cable', () => {
    const trouble = explainPortFailure(
      'Error: No such file or directory, cannot open x',
      port,
      nothing,
      'linux',
    );
    expect(trouble.sentence).toContain('is the board plugged in with a data cable?');
  });
});

test.each([
  ['ECONNREFUSED', 'tcp-refused', 'Nothing listens at box.local:2000'],
  ['ENOTFOUND', 'tcp-unknown-host', 'The name box.local is not known'],
  ['EHOSTUNREACH', 'tcp-unreachable', 'box.local does not answer'],
  ['ETIMEDOUT', 'tcp-unreachable', 'switched on'],
  ['EPROTO', 'tcp-failed', 'EPROTO'],
  [undefined, 'tcp-failed', 'no reason given'],
])('%s is %s', (systemCode, code, part) => {
  const trouble = explainTcpFailure(systemCode, 'box.local', 2000);
  expect(trouble.code).toBe(code);
  expect(trouble.sentence).toContain(part);
});
