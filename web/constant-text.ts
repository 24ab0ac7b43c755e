/** A constant as its table gives it. Pure. */
import { fixed, withUnit } from './format.ts';

/** Three figures; very small ones as a power of ten, which these constants are known by. */
export function constantText({ value, unit }: { readonly value: number; readonly unit: string }): string {
  const size = Math.abs(value);
  if (size > 0 && size < 1e-3) {
    const power = Math.floor(Math.log10(size));
    return withUnit(`${fixed(value / 10 ** power, 1)} · 10${superscript(power)}`, unit);
  }
  const decimals = Math.max(0, Math.min(3, 2 - Math.floor(Math.log10(size || 1))));
  return withUnit(
    fixed(value, decimals)
      .replace(/(\.\d*?)0+$/, '$1')
      .replace(/\.$/, ''),
    unit,
  );
}

const DIGITS = '⁰¹²³⁴⁵⁶⁷⁸⁹';
const superscript = (power: number): string =>
  String(power)
    .replace('-', '⁻')
    .replace(/\d/g, (digit) => DIGITS[Number(digit)] ?? digit);
