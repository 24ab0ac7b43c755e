/**
 * A certificate for 127.0.0.1, signed by its own key: X.509 version 3 (RFC 5280, section 4.1) in DER (X.690), written by
 * hand since no library here makes one.
 */
import { generateKeyPairSync, sign } from 'node:crypto';

type Der = Buffer;

function tlv(tag: number, ...content: Der[]): Der {
  const body = Buffer.concat(content);
  if (body.length < 0x80) return Buffer.concat([Buffer.from([tag, body.length]), body]);
  const length = body.length < 0x100 ? [0x81, body.length] : [0x82, body.length >> 8, body.length & 0xff];
  return Buffer.concat([Buffer.from([tag, ...length]), body]);
}
const sequence = (...content: Der[]): Der => tlv(0x30, ...content);
const objectId = (hex: string): Der => tlv(0x06, Buffer.from(hex, 'hex'));
const time = (text: string): Der => tlv(0x18, Buffer.from(text));

/** ecdsa-with-SHA256, 1.2.840.10045.4.3.2 (RFC 5758). */
const ECDSA_SHA256 = sequence(objectId('2a8648ce3d040302'));
/** commonName, 2.5.4.3. */
const NAME = sequence(tlv(0x31, sequence(objectId('550403'), tlv(0x0c, Buffer.from('lowdew test')))));
/** subjectAltName, 2.5.29.17: iPAddress 127.0.0.1. */
const FOR_LOOPBACK = sequence(
  objectId('551d11'),
  tlv(0x04, sequence(tlv(0x87, Buffer.from([127, 0, 0, 1])))),
);

export function selfSigned(): { cert: string; key: string } {
  const { publicKey, privateKey } = generateKeyPairSync('ec', { namedCurve: 'P-256' });
  const toBeSigned = sequence(
    tlv(0xa0, tlv(0x02, Buffer.from([2]))),
    tlv(0x02, Buffer.from([1])),
    ECDSA_SHA256,
    NAME,
    sequence(time('20200101000000Z'), time('20991231235959Z')),
    NAME,
    publicKey.export({ type: 'spki', format: 'der' }),
    tlv(0xa3, sequence(FOR_LOOPBACK)),
  );
  const signature = sign('sha256', toBeSigned, privateKey);
  const certificate = sequence(toBeSigned, ECDSA_SHA256, tlv(0x03, Buffer.from([0]), signature));
  const lines = certificate.toString('base64').match(/.{1,64}/g) ?? [];
  return {
    cert: `-----BEGIN CERTIFICATE-----\n${lines.join('\n')}\n-----END CERTIFICATE-----\n`,
    key: privateKey.export({ type: 'pkcs8', format: 'pem' }).toString(),
  };
}
