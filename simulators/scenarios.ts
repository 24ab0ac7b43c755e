/** The stories that come with the program, checked when they are first asked for. */
import { checkScenario, type Scenario } from './scenario.ts';
import dampCellar from './scenarios/damp-cellar.json' with { type: 'json' };
import gearOvernight from './scenarios/gear-overnight.json' with { type: 'json' };
import timerAtNight from './scenarios/timer-at-night.json' with { type: 'json' };

/** The first is the one shown when nothing else is asked for. */
const TOLD: readonly unknown[] = [gearOvernight, dampCellar, timerAtNight];

export function scenarios(): readonly Scenario[] {
  return TOLD.map((raw) => {
    const checked = checkScenario(raw);
    if (!checked.ok) throw new Error(`a scenario of the program is broken: ${checked.mistakes.join('; ')}`);
    return checked.scenario;
  });
}

export const scenarioNamed = (name: string): Scenario | undefined =>
  scenarios().find((scenario) => scenario.name === name);
