/** Setup, in the order that a new user needs: caution, ports, the first bench, what is set up, what is reckoned with. */
import { useEffect, useMemo } from 'preact/hooks';
import type { ScreenProps } from '../shell/screen-props.ts';
import { useTitle } from '../shell/title.ts';
import { SETUP } from '../words/setup.ts';
import { FirstBenchPart } from './first-bench-part.tsx';
import { MaterialsPart, StationsPart } from './known-part.tsx';
import { LevelsPart } from './levels-part.tsx';
import { PortsPart } from './ports-part.tsx';
import { ReceiversPart } from './receivers-part.tsx';
import { createSetup } from './setup-state.ts';
import { ShownPart } from './shown-part.tsx';
import { VoicePart } from './voice-part.tsx';

export function Screen({ state }: ScreenProps) {
  const setup = useMemo(createSetup, []);
  useEffect(() => () => setup.stop(), [setup]);
  const { benchFile, writesTo } = setup.state.value ?? { benchFile: null, writesTo: null };
  const isFirst = writesTo !== null;
  useTitle(state, SETUP.title, isFirst ? SETUP.firstHead : SETUP.head);
  return (
    <>
      <div class="answer">
        <h1>{isFirst ? SETUP.firstHead : SETUP.head}</h1>
        <p class="tell">
          {isFirst ? SETUP.firstTell : benchFile ? SETUP.tell(benchFile) : SETUP.tellSimulated}
        </p>
      </div>
      <section class="setup" aria-labelledby="before">
        <h2 class="head" id="before">
          {SETUP.safetyHead}
        </h2>
        {SETUP.safety.map((sentence) => (
          <p key={sentence}>{sentence}</p>
        ))}
      </section>
      <PortsPart setup={setup} />
      <FirstBenchPart setup={setup} />
      {!isFirst && <StationsPart state={state} />}
      <ReceiversPart state={state} />
      {!isFirst && <LevelsPart state={state} />}
      <VoicePart />
      <ShownPart state={state} />
      <MaterialsPart setup={setup} spoolMaterial={state.spool.value?.materialKey ?? null} />
    </>
  );
}
