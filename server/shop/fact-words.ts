/** Owns how a single fact of a sheet is said: a part with its place and role, a reading as it was read, words on one line. */
import type { BenchReading, FittedPart, PhaseView } from '../bench/model.ts';
import { joinValues, sayQuantity } from '../bench/saying.ts';
import type { Condition } from '../dialect/tree.ts';
import type { Quantity } from '../units/si.ts';
import { sayMarked } from './compare-words.ts';
import { toleranceOf } from './part-differences.ts';
import { englishShop } from './shop-words.ts';

/** `330 Ω 5 W wirewound, V3.k to gnd, cathode resistor of V3`. */
export function sayPart(part: FittedPart, { roles }: PhaseView): string {
  const ends = [...new Set(part.terminals.values())];
  const isPlain = part.terminals.size === 2 && ends.length === 2;
  const places = isPlain
    ? ends.join(' to ')
    : part.class === 'valve'
      ? ''
      : [...part.terminals].map(([terminal, node]) => `${terminal} at ${node}`).join(' ');
  const found = roles.get(part.ref);
  const role =
    found === undefined || found.role === 'unknown'
      ? ''
      : `${found.role.replaceAll('-', ' ')}${found.serves.length === 0 ? '' : ` of ${found.serves.join(', ')}`}`;
  return [sayFitted(part), places, role].filter((each) => each !== '').join(', ');
}

/** All that is written of a part itself. */
export function sayFitted(part: FittedPart): string {
  const { resistance, ratings } = part;
  const words = [
    sayMarked(part, englishShop),
    resistance && sayValue(resistance.quantity),
    ratings.temperature && sayValue(ratings.temperature.quantity),
    toleranceOf(part, englishShop),
    ratings.date === undefined ? undefined : `date ${ratings.date}`,
  ];
  return words.filter((word) => word !== undefined && word !== '').join(' ');
}

export function sayReading(reading: BenchReading, under: string): string {
  const { quantity, value, special, second, wave, frequency } = reading;
  const band =
    value.low === undefined || value.high === undefined
      ? sayValue(value.quantity)
      : joinValues(
          sayValue({ ...value.quantity, value: value.low }),
          ' to ',
          sayValue({ ...value.quantity, value: value.high }),
        );
  const words = [
    QUANTITY_WORDS[quantity] ?? '',
    special ?? band,
    second === undefined ? '' : `and ${sayValue(second.quantity)}`,
    wave ?? '',
    frequency === undefined ? '' : `at ${sayValue(frequency)}`,
    under === '' ? '' : `(${under})`,
  ];
  return words.filter((each) => each !== '').join(' ');
}

/** Where the unit alone does not say what was read. */
const QUANTITY_WORDS: Readonly<Record<string, string>> = {
  ripple: 'ripple',
  esr: 'ESR',
  insulation: 'insulation',
  leakage: 'leakage',
  setting: 'at',
};

/** As it was read: a digit more than computed numbers are told with. */
function sayValue(quantity: Quantity): string {
  const rounded = Number(quantity.value.toPrecision(4));
  const exact = `${rounded}`;
  const said = sayQuantity(quantity);
  // 331.2 V is told as 331 V where three digits are; what was read keeps its own.
  const unit = /^−?-?[\d.]+(.*)$/.exec(said)?.[1];
  return unit === `\u00a0${quantity.unit}` && Math.abs(rounded) >= 100 ? `${exact}${unit}` : said;
}

export function sayConditions(conditions: readonly Condition[]): string {
  return [...new Set(conditions.map(({ words }) => oneLine(words)))].join(', ');
}

/** On one line, and without what a terminal would take for a command. */
export function oneLine(text: string): string {
  return text
    .replace(/\s+/g, ' ')
    .replace(/\p{Cc}/gu, '')
    .trim();
}
