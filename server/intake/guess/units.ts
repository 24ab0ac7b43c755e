/** Units as sketches write them, and whether a word between two numbers is the unit of one or the name of the next. */
import { legible } from './line-shape.ts';

export interface Unit {
  /** A key of LD1 that comes in it, "-" for a time, or what lowdew does not read. */
  readonly of: 't' | 'rh' | 'p' | 'm' | '-' | 'fahrenheit' | 'pascal' | 'kilograms' | 'other';
  readonly name: string;
}

const UNITS: readonly (readonly [of: Unit['of'], name: string, pattern: RegExp])[] = [
  ['fahrenheit', '°F', /^(°\s?F|\*F|deg(rees)?\.?\s?F(ahrenheit)?|fahrenheit|F)(?![A-Za-z])/],
  ['t', '°C', /^(°\s?C|\*C|deg(rees)?\.?(\s?C(elsius)?)?|celsius|Cel|C|°)(?![A-Za-z])/i],
  ['rh', '%', /^(%\s?r\.?\s?h\.?|%|percent|per cent|pct|r\.?h\.?)(?![A-Za-z])/i],
  ['p', 'hPa', /^(hPa|mbar|mb)(?![A-Za-z])/i],
  ['pascal', 'Pa', /^(k?Pa)(?![A-Za-z])/],
  ['kilograms', 'kg', /^kg(?![A-Za-z])/i],
  ['m', 'g', /^(g|grams?|gr)(?![A-Za-z])/],
  ['-', 'a unit of time', /^(ms|s|secs?|seconds?|min)(?![A-Za-z])/],
  ['other', '', /^(mV|V|mA|A|W|lux|lx|ppm|ppb|dBm|ohms?|Hz|m)(?![A-Za-z])/],
];

function leadingUnit(text: string): { readonly unit: Unit; readonly written: string } | null {
  for (const [of, name, pattern] of UNITS) {
    const written = pattern.exec(text)?.[0];
    if (written !== undefined) return { unit: { of, name: name || written }, written };
  }
  return null;
}

export interface Between {
  /** Of the number before. */
  readonly unit: Unit | null;
  /** Name of the number behind. */
  readonly label: string;
}

/**
 * Parts what stands between two numbers, or behind the last one. `namesFirst`: the line begins with a name, so that a
 * lone word between two numbers rather names the second ("T 23.4 RH 45") than measures the first ("23.4 C 45 %").
 */
export function partBetween(text: string, namesFirst: boolean, isLast: boolean): Between {
  const own = legible(text).replace(/^[\s"'\])]+/, '');
  const found = leadingUnit(own);
  if (!found) return { unit: null, label: own };
  const rest = own.slice(found.written.length);
  const isSymbol = /^[°*%]/.test(found.written);
  if (isSymbol || isLast || !namesFirst || /[A-Za-z]/.test(rest) || /^\s*[,;|)\]}]/.test(rest))
    return { unit: found.unit, label: rest };
  return { unit: null, label: own };
}

/** A unit that stands with the name and is marked as one: "Temp *C = ", "humidity (%)". */
export function unitInLabel(label: string): Unit | null {
  const marked = /[([]\s*([^)\]]+?)\s*[)\]]|([*°]\s?[CF]\b|%)/.exec(legible(label));
  const written = marked?.[1] ?? marked?.[2];
  return written === undefined ? null : (leadingUnit(written)?.unit ?? null);
}
