/** What a broker's refusal means: pure. Return codes of MQTT 3.1.1 §3.2.2.3, reason codes of MQTT 5 §2.4. */
import { type Answer, fault, later } from './answer.ts';
import { errorCode, networkAnswer } from './network-trouble.ts';

const WHO = 'the broker';

export function brokerAnswer(error: unknown): Answer {
  const code = (error as { code?: unknown } | null)?.code;
  if (typeof code !== 'number') {
    // The library's own timeout has no code.
    if (errorCode(error) === '' && /timeout/i.test(String((error as Error | null)?.message)))
      return later(
        'timed-out',
        'The broker did not answer in time: is it the port for MQTT, with or without TLS?',
      );
    return networkAnswer(error, WHO);
  }
  switch (code) {
    case 1:
    case 0x84:
      return fault(
        'protocol-version',
        'The broker does not speak this version of MQTT: set protocol to "3.1.1" or "5".',
      );
    case 4:
    case 5:
    case 0x86:
    case 0x8c:
      return fault('login-refused', `The broker does not accept user and password (code ${code}).`);
    case 0x87:
      return fault('login-refused', 'The broker does not allow this user to publish here (code 135).');
    case 0x8a:
      return fault('refused', 'The broker has banned this client (code 138).');
    case 2:
    case 0x85:
    case 0x90:
      return fault('refused', `The broker does not accept the name of the client or topic (code ${code}).`);
    case 0x95:
    case 0x99:
      return fault('refused', `The broker does not take this message (code ${code}).`, 'content');
    case 0x96:
    case 0x97:
    case 0x9f:
      return later('too-many', `The broker asks for fewer messages (code ${code}).`);
    default:
      return later('receiver-failed', `The broker cannot serve now (code ${code}).`);
  }
}
