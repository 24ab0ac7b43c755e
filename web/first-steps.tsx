import { FIRST_STEPS } from './words/first-steps.ts';

/** What stands in place of plate and stations while there are none. */
export function FirstSteps() {
  return (
    <section class="steps" aria-labelledby="steps">
      <h2 class="head" id="steps">
        {FIRST_STEPS.head}
      </h2>
      <ol>
        {FIRST_STEPS.steps.map((step) => (
          <li key={step.say}>
            <p>{step.say}</p>
            {/* Long lines scroll in their own box, which a keyboard must be able to reach. */}
            {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a scrolling region needs focus */}
            <pre tabIndex={0}>
              <code>{step.code}</code>
            </pre>
          </li>
        ))}
      </ol>
      <p class="soft">{FIRST_STEPS.noBoard}</p>
    </section>
  );
}
