/** Owns the values that a half-written one may become: those of the preferred series that begin as it does, or lie next to it. */
import {
  isPreferred,
  isVintage,
  nearestModern,
  nextPreferredDown,
  nextPreferredUp,
  preferredValues,
  type Series,
} from '../catalogue/preferred-values.ts';
import { readSpecification } from '../dialect/specification.ts';
import type { PartClass } from '../dialect/tree.ts';
import { plainValue } from '../sheet/model.ts';
import { type Quantity, quantity } from '../units/si.ts';
import { writeQuantity } from '../units/write.ts';

export interface PreferredOffer {
  readonly text: string;
  readonly detail: string;
  /** It is another value than the one that is written, next to it. */
  readonly isNeighbour: boolean;
}

type Kind = 'resistor' | 'capacitor';

/** Capacitors are made in E24 at most, resistors in E96 too. */
const NEIGHBOURS: Readonly<Record<Kind, readonly Series[]>> = {
  resistor: ['E12', 'E24', 'E96'],
  capacitor: ['E12', 'E24'],
};

/** Offers for a word such as `4k`, `46k` or `.05u`; none for a value that is usual already, nor for a bare number. */
export function preferredOffers(partClass: PartClass | undefined, word: string): readonly PreferredOffer[] {
  const kind = kindOf(partClass);
  if (kind === undefined || partClass === undefined || !/\d/.test(word)) return [];
  // A number alone may become anything: its unit comes first.
  if (/^[\d.,]+$/.test(word)) return [];
  const read = readSpecification(partClass, word, { start: 0, end: word.length });
  const value = read?.remark === undefined ? plainValue(read?.specification.values[0])?.quantity : undefined;
  if (value === undefined || !(value.value > 0)) return [];
  if (value.unit !== (kind === 'resistor' ? 'Ohm' : 'F')) return [];
  return [...beginningSo(value, word), ...nextTo(value, kind)];
}

function kindOf(partClass: PartClass | undefined): Kind | undefined {
  if (partClass === 'resistor' || partClass === 'potentiometer') return 'resistor';
  return partClass === 'capacitor' ? 'capacitor' : undefined;
}

/** `4k3` and `4k7` of `4k`. */
function beginningSo(value: Quantity, word: string): readonly PreferredOffer[] {
  const isPoint = /^\d+[RkKMnpuµ]\d*$/.test(word);
  if (!isPoint) return [];
  const decade = 10 ** Math.floor(Math.log10(value.value) + 1e-9);
  return preferredValues('E24').flatMap((mantissa): readonly PreferredOffer[] => {
    const each = Number((mantissa * decade).toPrecision(6));
    const text = writeQuantity(quantity(each, value.unit), { style: 'code' });
    const isLonger = text.length > word.length && text.toLowerCase().startsWith(word.toLowerCase());
    return isLonger ? [{ text, detail: seriesOf(each), isNeighbour: false }] : [];
  });
}

/** What lies next below and above a value that nobody makes; and what is bought today for one that was made once. */
function nextTo({ value, unit }: Quantity, kind: Kind): readonly PreferredOffer[] {
  if (isPreferred(value, 'E24') || (kind === 'resistor' && isPreferred(value, 'E96'))) return [];
  const write = (each: number) => writeQuantity(quantity(each, unit), { style: 'tag' });
  const modern = isVintage(value, kind) ? nearestModern(value, kind) : undefined;
  if (modern !== undefined) {
    return [{ text: write(modern), detail: `bought today for ${write(value)}`, isNeighbour: true }];
  }
  const found = new Map<number, Series>();
  for (const series of NEIGHBOURS[kind]) {
    for (const each of [nextPreferredDown(value, series), nextPreferredUp(value, series)]) {
      if (each !== undefined && !found.has(each)) found.set(each, series);
    }
  }
  return [...found].map(([each, series]) => ({
    text: write(each),
    detail: `next ${each < value ? 'below' : 'above'}, ${series}`,
    isNeighbour: true,
  }));
}

function seriesOf(value: number): Series {
  return isPreferred(value, 'E12') ? 'E12' : 'E24';
}
