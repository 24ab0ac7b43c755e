import { useComputed } from '@preact/signals';
import { useEffect, useRef, useState } from 'preact/hooks';
import { answerOf } from './answer.ts';
import type { Answer, Aside } from './answer-facts.ts';
import type { BenchState } from './bench-state.ts';
import { PieceText } from './piece-text.tsx';
import { plainText } from './pieces.ts';
import { useTitle } from './shell/title.ts';
import { SCREEN_NAMES } from './words/shell.ts';

/** The same words are spoken again at most this often. */
const ANNOUNCE_MS = 60_000;

export function AnswerBlock({ state }: { state: BenchState }) {
  const answer = useComputed(() =>
    answerOf({
      connection: state.connection.value,
      bench: state.bench.value,
      cast: state.cast.value,
      spool: state.spool.value,
      chamber: state.chamber.value,
      job: state.job.value,
      asked: state.asked.value,
      nowMs: state.nowMs.value,
      lostSinceMs: state.lostSinceMs.value,
      format: state.format.value,
    }),
  ).value;
  useTitle(state, SCREEN_NAMES.bench, answer.heading);
  return (
    <div class={answer.aside ? 'answer with-aside' : 'answer'}>
      <div>
        <h1>{answer.say ? <PieceText pieces={answer.say} /> : answer.heading}</h1>
        <p class="tell">
          <PieceText pieces={answer.tell} />
        </p>
        <Announcement answer={answer} />
      </div>
      {answer.aside && <AsideList aside={answer.aside} />}
    </div>
  );
}

/** Says the answer to a screen reader when its words change, and never more than once a minute. */
function Announcement({ answer }: { answer: Answer }) {
  const words = answer.heading;
  const [said, setSaid] = useState(words);
  const lastMs = useRef(Number.NEGATIVE_INFINITY);
  const newest = useRef(words);
  newest.current = words;
  useEffect(() => {
    if (words === said) return;
    const say = (): void => {
      lastMs.current = performance.now();
      setSaid(newest.current);
    };
    const waitMs = lastMs.current + ANNOUNCE_MS - performance.now();
    if (waitMs <= 0) return say();
    const timer = setTimeout(say, waitMs);
    return () => clearTimeout(timer);
  }, [words, said]);
  return (
    <p class="vh" role="status">
      {said === answer.heading ? `${said} ${plainText(answer.tell)}` : said}
    </p>
  );
}

function AsideList({ aside }: { aside: Aside }) {
  return (
    <aside class="beside" aria-label={aside.head}>
      <h2>{aside.head}</h2>
      {aside.rows.length > 0 && (
        <ul>
          {aside.rows.map(([what, how]) => (
            <li key={what}>
              <span>{what}</span>
              <b>{how}</b>
            </li>
          ))}
        </ul>
      )}
      {aside.note !== '' && <p class="soft">{aside.note}</p>}
    </aside>
  );
}
