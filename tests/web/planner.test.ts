import { describe, expect, it } from 'vitest';
import type { PlanCatalogue, PlanField } from '../../server/api/messages-plan.ts';
import { PLANNER } from '../../server/planner/planner.ts';
import { createFormat, DEFAULT_PREFERENCES } from '../../web/format.ts';
import { plainText } from '../../web/pieces.ts';
import { planLane } from '../../web/planner/plan-lane.ts';
import { sayPlan } from '../../web/planner/plan-words.ts';
import {
  askedQuery,
  catalogueIn,
  evidenceIn,
  mistakeOf,
  noteIn,
  otherQuestion,
  type Question,
  queryOf,
  questionOf,
} from '../../web/planner/question.ts';
import { afterRange, spanRange, spanText } from '../../web/planner/span.ts';

const plain = (text: string): string => text.replaceAll(/[\u00a0\u2009]/g, ' ');
const HOUR = 3600;
const DAY = 24 * HOUR;

describe('a length of time', () => {
  it('is said in two figures and one unit', () => {
    const said = [
      40,
      90,
      47 * 60,
      5.42 * HOUR,
      34.3 * HOUR,
      2.64 * DAY,
      13.8 * DAY,
      250 * DAY,
      3 * 365 * DAY,
    ];
    expect(said.map((seconds) => plain(spanText(seconds)))).toEqual([
      '40 s',
      '2 min',
      '47 min',
      '5.4 h',
      '34 h',
      '2.6 days',
      '14 days',
      '8.3 months',
      '3 years',
    ]);
  });

  it('shares its unit between both ends of a range, or names both', () => {
    expect(plain(spanRange(12 * HOUR, 34 * HOUR))).toBe('12–34 h');
    expect(plain(spanRange(12 * HOUR, 2.6 * DAY))).toBe('12 h to 2.6 days');
    expect(plain(spanRange(33.6 * HOUR, 34.2 * HOUR))).toBe('34 h');
  });

  it('has an open end where the late end never comes, and none where it is there already', () => {
    const late = { p05: 7200, p50: 9000, p95: null };
    expect(plain(afterRange({ ...late, reason: { p95: 'never' } }, 7 * DAY)!)).toBe(
      'at least 2 h, perhaps never',
    );
    expect(plain(afterRange({ ...late, reason: { p95: 'beyond' } }, 7 * DAY)!)).toBe(
      'at least 2 h, perhaps over 7 days',
    );
    expect(plain(afterRange({ p05: 0, p50: 0, p95: 7200, reason: {} }, 7 * DAY)!)).toBe('at most 2 h');
    expect(afterRange({ p05: null, p50: null, p95: null, reason: { p05: 'never' } }, DAY)).toBeNull();
  });
});

describe('a question in the address', () => {
  it('comes back as it was written, and strange ones ask about drying', () => {
    const question = questionOf('ask=store&film=pet&bagAreaM2=0%2C3');
    expect(question).toEqual({ kind: 'store', typed: { film: 'pet', bagAreaM2: '0,3' } });
    expect(questionOf(queryOf(question))).toEqual(question);
    expect(questionOf('ask=oracle').kind).toBe('dry');
  });

  it('is sent with its own blanks alone, a comma as a point', () => {
    const catalogue = PLANNER.catalogue() as unknown as PlanCatalogue;
    const typed = { bagAreaM2: '0,3', boxC: '70', desiccantG: ' ' };
    expect(askedQuery({ kind: 'store', typed }, catalogue)).toBe('bagAreaM2=0.3');
    expect(otherQuestion({ kind: 'dry', typed: { boxC: '70', roomC: '25' } }, 'store', catalogue)).toEqual({
      kind: 'store',
      typed: { roomC: '25' },
    });
  });

  it('takes degrees Fahrenheit where they are shown, and asks the server in Celsius', () => {
    const shown = catalogueIn(PLANNER.catalogue() as unknown as PlanCatalogue, '°F');
    const { roomC, boxC, netMassG } = shown.kinds['dry']!;
    // 0 to 45 °C and 22 °C: 32 °F, 113 °F, 71.6 °F, by the definition of the scale.
    expect(roomC).toMatchObject({ unit: '°F', low: 32, high: 113, usual: 71.6 });
    expect(boxC).toMatchObject({ unit: '°F', low: 77, high: 302, usual: null });
    expect(netMassG).toMatchObject({ unit: 'g', usual: 1000 });
    expect(mistakeOf(roomC, '22')).toBe('▲ 32 to 113 °F');
    const question: Question = { kind: 'dry', typed: { boxC: '176', netMassG: '500' } };
    expect(askedQuery(question, shown)).toBe('netMassG=500&boxC=80');
    // An address says in which unit it was written, and is read in that of whoever opens it.
    const query = queryOf(question, '°F');
    expect(new URLSearchParams(query).get('degrees')).toBe('F');
    expect(questionOf(query, '°F')).toEqual(question);
    expect(questionOf(query, '°C').typed).toEqual({ boxC: '80', netMassG: '500' });
    expect(questionOf('ask=dry&boxC=80', '°F').typed).toEqual({ boxC: '176' });
    const format = createFormat({ ...DEFAULT_PREFERENCES, temperature: 'F' });
    expect(plain(noteIn('85 °C is more than the 65 °C that the table allows', format))).toBe(
      '185 °F is more than the 149 °F that the table allows',
    );
    // A step has no offset: 2.5 °C are 4.5 °F. 70 °C are 158 °F, 80 to 90 °C 176 to 194 °F.
    expect(plain(noteIn('right within 2.5 °C; sags above ~70 C, best at 80-90 C', format))).toBe(
      'right within 4.5 °F; sags above ~158 °F, best at 176-194 °F',
    );
    expect(plain(noteIn('as a 65A grade, 3 CO2', format))).toBe('as a 65A grade, 3 CO2');
    const row = { quantity: 'at 25 °C', value: 65, unit: '°C', grade: 'high', sources: ['read at 65 C'] };
    expect(evidenceIn(row, format)).toMatchObject({ value: 149, unit: '°F', sources: ['read at 65 C'] });
    expect(plain(evidenceIn(row, format).quantity)).toBe('at 77 °F');
  });

  it('says what a blank takes', () => {
    const field: PlanField = { kind: 'number', name: 'x', unit: '°C', low: -40, high: 120, usual: 22 };
    expect(mistakeOf(field, '70')).toBeNull();
    expect(mistakeOf(field, '')).toBeNull();
    expect(mistakeOf(field, '-41')).toBe('▲ −40 to 120 °C');
    expect(mistakeOf(field, 'warm')).toBe('▲ a number, −40 to 120 °C');
  });
});

describe('an answer in words', () => {
  const format = createFormat(DEFAULT_PREFERENCES);
  const say = (kind: 'dry' | 'lie-out' | 'store' | 'fit' | 'air', raw: Record<string, unknown>) => {
    const asked = PLANNER.answer(kind, raw);
    if (!asked.ok) throw new Error(asked.mistakes[0]?.detail);
    const { heading, tell } = sayPlan(asked.answer, format);
    return {
      heading: plain(heading),
      tell: plain(plainText(tell)),
      lane: planLane(asked.answer, null, false),
    };
  };

  it('leads with the range, and says of never that it is never', () => {
    expect(say('dry', { boxC: 80 }).heading).toMatch(/^Dry after [\d.]+ h to [\d.]+ days\.$/);
    // The first example has an end, and is of the material's own usual box.
    expect(say('dry', {}).heading).toBe(say('dry', { boxC: 80 }).heading);
    const never = say('dry', { boxC: 50, roomRhPercent: 70 });
    expect(never.heading).toBe('This air will not dry it to 0.20 %.');
    expect(never.tell).toMatch(/^It stops near \d\.\d+ % \([\d.]+–[\d.]+\) however long it stays in\.$/);
    expect(never.lane.warning).toContain('Floor above limit');
  });

  it('tells what is there already, what never comes and what lies beyond', () => {
    expect(say('lie-out', { startWtPercent: 1 }).heading).toBe('It is over 0.20 % already.');
    expect(say('lie-out', { material: 'abs', roomRhPercent: 5 }).heading).toBe(
      'This room does not take it over 0.10 %.',
    );
    expect(say('store', { film: 'barrier', material: 'petg' }).heading).toBe(
      'The bag keeps it under 0.08 % for over 3 years.',
    );
    expect(say('dry', { material: 'petg', stored: 'weighed', startWtPercent: 0.02 }).heading).toBe(
      'It is under 0.08 % already.',
    );
  });

  it('speaks of shrinking, of hardly anything, and of water that condenses', () => {
    expect(say('fit', { startWtPercent: 5, roomRhPercent: 10 }).heading).toMatch(/^It shrinks by /);
    expect(say('fit', { material: 'pp' }).heading).toMatch(/^It hardly changes: by 0\.01 mm at most\.$/);
    expect(say('air', { heatedToC: 0 }).heading).toBe('At 0.0 °C water condenses out of this air.');
    expect(say('air', {}).tell).toMatch(/ Its dew point is 9\.5 °C \(8\.7–10\.3\)\.$/);
  });
});
