/** From one notice, or from many that are folded, to one message in plain words: pure. */
import { createHash } from 'node:crypto';
import { type Notice, PRIORITIES } from '../records.ts';

export interface Message {
  /**
   * Of one notice, the notice's own. Of many, made from theirs, so that the same ones make the same message; who keeps
   * count goes by the ids of the notices.
   */
  readonly id: string;
  /** Invented readings, or a test. */
  readonly mark: 'SIMULATED' | 'TEST' | null;
  /** Reads first, and says it all if nothing else is read. */
  readonly subject: string;
  readonly text: string;
  /** Oldest first. */
  readonly notices: readonly Notice[];
}

/** A line of a mail's subject; more is cut by most who show it. */
const LONGEST_SUBJECT = 120;
const FOOT = 'lowdew monitors and advises; it is not a safety device, and a message may not arrive.';

export function composeMessage(notices: readonly [Notice, ...Notice[]], mark: Message['mark']): Message {
  const before = mark === null ? '' : `${mark}: `;
  const [first, ...more] = notices;
  if (more.length === 0)
    return {
      id: first.id,
      mark,
      subject: oneLine(before + first.headline),
      text: `${before}${describe(first)}\n\n${FOOT}\n`,
      notices,
    };
  const gravest = [...notices].sort(
    (a, b) => PRIORITIES.indexOf(a.priority) - PRIORITIES.indexOf(b.priority) || (a.at < b.at ? 1 : -1),
  )[0] as Notice;
  const opening = `${notices.length} notices since ${minuteText(first.at)}, which could not be sent sooner.`;
  const listed = notices.map((notice) => `${minuteText(notice.at)}  ${describe(notice)}\n(${notice.id})`);
  return {
    id: `fold-${createHash('sha256')
      .update(notices.map(({ id }) => id).join('\n'))
      .digest('hex')
      .slice(0, 24)}`,
    mark,
    subject: oneLine(`${before}${notices.length} notices: ${gravest.headline}`),
    text: `${before}${opening}\n\n${listed.join('\n\n')}\n\n${FOOT}\n`,
    notices,
  };
}

function describe({ headline, text, advice, caution }: Notice): string {
  return [headline, text, advice, ...(caution === undefined ? [] : [caution])]
    .filter((line) => line !== '')
    .join('\n');
}

/** "2026-11-25 02:10 UTC": a receiver may be in another zone than the bench. */
const minuteText = (at: string): string => `${at.slice(0, 10)} ${at.slice(11, 16)} UTC`;

/** No control character may end a header early. */
function oneLine(text: string): string {
  const line = text.replace(/[\p{Cc}\s]+/gu, ' ').trim();
  return line.length <= LONGEST_SUBJECT ? line : `${line.slice(0, LONGEST_SUBJECT - 1)}…`;
}
