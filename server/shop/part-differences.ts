/** Owns what differs between a part and what stands in its place in another amplifier, each thing in words. */
import type { Matching } from '../bench/matching.ts';
import type { FittedPart } from '../bench/model.ts';
import { sayKinds, sayQuantity } from '../bench/saying.ts';
import type { Quantity } from '../units/si.ts';
import type { WrittenValue } from '../units/value.ts';
import type { ShopLanguage } from './shop-words.ts';

export interface Difference {
  readonly of:
    | 'value'
    | 'type'
    | 'voltage-rating'
    | 'power-rating'
    | 'current-rating'
    | 'tolerance'
    | 'kind'
    | 'windings'
    | 'speed'
    | 'place';
  /** Absent where that side does not say. */
  readonly was?: string;
  readonly is?: string;
}

/** Two numbers nearer than this share are one, written differently. */
const SAME = 1e-6;

export function differencesOf(
  was: FittedPart,
  is: FittedPart,
  { nodeWas }: Matching,
  language: ShopLanguage,
): readonly Difference[] {
  const { terms } = language;
  const say = (quantity: Quantity) => sayQuantity(quantity, 'by size', terms);
  const found: Difference[] = [];
  const compare = (of: Difference['of'], one: string | undefined, two: string | undefined): void => {
    if (one !== two)
      found.push({ of, ...(one !== undefined && { was: one }), ...(two !== undefined && { is: two }) });
  };
  const numbers = (of: Difference['of'], one: Quantity | undefined, two: Quantity | undefined): void => {
    if (one !== undefined && two !== undefined && one.unit === two.unit && isNear(one.value, two.value))
      return;
    compare(of, one && say(one), two && say(two));
  };
  numbers('value', was.value?.quantity, is.value?.quantity);
  // Two names of one valve are one valve.
  if ((was.type?.valve ?? was.type?.text.toUpperCase()) !== (is.type?.valve ?? is.type?.text.toUpperCase()))
    compare('type', was.type?.text, is.type?.text);
  numbers('voltage-rating', was.ratings.voltage?.quantity, is.ratings.voltage?.quantity);
  numbers('power-rating', was.ratings.power?.quantity, is.ratings.power?.quantity);
  numbers('current-rating', was.ratings.current?.quantity, is.ratings.current?.quantity);
  if (was.isToleranceMarked || is.isToleranceMarked)
    compare('tolerance', toleranceOf(was, language), toleranceOf(is, language));
  if ([...was.kinds].sort().join() !== [...is.kinds].sort().join())
    compare('kind', kindsOf(was, language), kindsOf(is, language));
  compare('windings', windingsOf(was, language), windingsOf(is, language));
  compare(
    'speed',
    was.specification?.fuseSpeed?.text.toUpperCase(),
    is.specification?.fuseSpeed?.text.toUpperCase(),
  );
  const [placeWas, placeIs] = placesOf(was, is, nodeWas, language);
  compare('place', placeWas, placeIs);
  return found;
}

function isNear(one: number, two: number): boolean {
  return Math.abs(one - two) <= SAME * Math.max(Math.abs(one), Math.abs(two));
}

export function toleranceOf(
  { tolerance, isToleranceMarked }: FittedPart,
  { terms }: ShopLanguage,
): string | undefined {
  return isToleranceMarked ? `±${sayQuantity({ value: tolerance, unit: '1' }, 'share', terms)}` : undefined;
}

function kindsOf({ kinds }: FittedPart, { terms }: ShopLanguage): string | undefined {
  return kinds.length === 0 ? undefined : sayKinds(kinds, terms).join(' ');
}

/** `290-0-290 V 300 mA, 6.3 V 4 A`. */
export function windingsOf({ specification }: FittedPart, { terms, says }: ShopLanguage): string | undefined {
  const say = (written: WrittenValue | undefined) =>
    written?.kind === 'value' ? sayQuantity(written.value.quantity, 'by size', terms) : '';
  const windings = (specification?.windings ?? []).map(
    ({ side, volts, impedance, current, centreTapped }) => {
      const half = say(volts);
      const [number = ''] = half.split('\u00a0');
      return [
        side === 'primary' ? says.primary : '',
        centreTapped && half !== '' ? `${number}-0-${half}` : half,
        say(impedance),
        say(current),
      ]
        .filter((word) => word !== '')
        .join(' ');
    },
  );
  return windings.length === 0 ? undefined : windings.join(', ');
}

/** Where both sit, by the names of the first; nothing where it is the same place, or where one side does not say. */
function placesOf(
  was: FittedPart,
  is: FittedPart,
  nodeWas: Matching['nodeWas'],
  { says }: ShopLanguage,
): readonly [string | undefined, string | undefined] {
  if (was.terminals.size === 0 || is.terminals.size === 0 || was.class === 'valve')
    return [undefined, undefined];
  const isOrdered = !['resistor', 'capacitor', 'inductor', 'fuse'].includes(was.class);
  const said = (terminals: ReadonlyMap<string, string>, name: (node: string) => string) => {
    const ends = [...terminals].map(([terminal, node]) =>
      isOrdered ? `${terminal} ${name(node)}` : name(node),
    );
    if (isOrdered) return ends.sort().join(', ');
    const [one, two] = ends.sort(groundLast);
    return one !== undefined && two !== undefined && ends.length === 2
      ? says.between(one, two)
      : ends.join(', ');
  };
  const ends = [...is.terminals.values()].map((node) => nodeWas(node));
  // A place that cannot be named in the first is no difference that anybody could look at.
  if (ends.includes(undefined)) return [undefined, undefined];
  const [one, two] = [
    said(was.terminals, (node) => node),
    said(is.terminals, (node) => nodeWas(node) ?? node),
  ];
  return one === two ? [undefined, undefined] : [one, two];
}

function groundLast(one: string, other: string): number {
  return Number(one === 'gnd') - Number(other === 'gnd') || (one < other ? -1 : 1);
}
