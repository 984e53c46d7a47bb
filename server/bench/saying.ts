/** Owns how a computed number is said in words of the trade: units as written at the bench, shares in per cent, factors plain. */

import type { Quantity } from '../units/si.ts';
import { writePercent, writeQuantity } from '../units/write.ts';
import { type BenchWords, englishBenchWords } from './bench-words.ts';
import type { Figure, FigureName, Known, PhaseView, Role, RoleFound } from './model.ts';

/** What a number is said with. */
type Numbered = Pick<BenchWords, 'decimal' | 'to'>;

/** Figures of unit 1 that are shares of something; the others (a gain) are factors. */
const SHARES: ReadonlySet<FigureName> = new Set([
  'loading',
  'anode-loading',
  'screen-loading',
  'current-loading',
  'heater-loading',
  'reservoir-loading',
  'margin',
  'mismatch',
]);

/** Whether a figure of unit 1 is said in per cent. */
export function isShare(figure: FigureName): boolean {
  return SHARES.has(figure);
}

/** Above this a number without unit is a factor (µ = 100, a gain), below it a share (7 %, 110 %). */
const LARGEST_SHARE = 3;

/** `12.9 W`, `4.7 kΩ`; of unit 1 `116 %` or, for a factor, `59.3`. */
export function sayQuantity(
  quantity: Quantity,
  as: 'share' | 'factor' | 'by size' = 'by size',
  { decimal }: Numbered = englishBenchWords,
): string {
  if (quantity.unit !== '1') return writeQuantity(quantity, { decimal });
  const inPercent = as === 'share' || (as === 'by size' && Math.abs(quantity.value) <= LARGEST_SHARE);
  return inPercent ? sayShare(quantity.value, decimal) : writeQuantity(quantity, { decimal });
}

/** A digit more where three would say 100 %, so that what is just over the limit does not read as being on it. */
function sayShare(share: number, decimal: Numbered['decimal']): string {
  const said = writePercent(share, { decimal });
  return /^100\D/.test(said) ? writePercent(share, { digits: 4, decimal }) : said;
}

/** A figure's value: `12.9 W`, `116 %`, a gain of `59.3`. */
export function sayFigure(
  { figure, quantity }: Pick<Figure, 'figure' | 'quantity'>,
  words: Numbered = englishBenchWords,
): string {
  return sayQuantity(quantity, isShare(figure) ? 'share' : 'factor', words);
}

/** A figure's value, or where an assumption widened it only its band: `12.1 W to 13.7 W`. */
export function sayBand(
  { figure, quantity, low, high }: Pick<Figure, 'figure' | 'quantity' | 'low' | 'high'>,
  words: Numbered = englishBenchWords,
): string {
  if (low === undefined || high === undefined) return sayFigure({ figure, quantity }, words);
  const end = (value: number) => sayFigure({ figure, quantity: { ...quantity, value } }, words);
  return end(low) === end(high) ? end(low) : `${end(low)} ${words.to} ${end(high)}`;
}

/** A band whose ends lie further apart than this factor: no number between them says anything. */
const VAGUE = 3;

/** Whether the band alone is worth telling of a value, and no number within it. */
export function isVague({ quantity, low, high }: Pick<Known, 'quantity' | 'low' | 'high'>): boolean {
  if (low === undefined || high === undefined || low === high) return false;
  if (quantity.unit === 'dB') return high - low > 20 * Math.log10(VAGUE);
  if (low <= 0 && high >= 0) return true;
  const [near, far] = [Math.min(Math.abs(low), Math.abs(high)), Math.max(Math.abs(low), Math.abs(high))];
  return far > VAGUE * near;
}

/** What the phases are called where people read English. */
export const PHASE_WORDS = englishBenchWords.phases;

/** What a part is called by: a volume control is one to everybody, though it is also what leaks a grid to ground. */
export function calledRole({ role, network }: Pick<RoleFound, 'role' | 'network'>): Role {
  return network?.name === 'volume' ? network.name : role;
}

/** `cathode bypass of V1A`; empty where nothing tells the role. */
export function sayRole(
  found: ReturnType<PhaseView['roles']['get']>,
  { roles, roleOf, likely }: Pick<BenchWords, 'roles' | 'roleOf' | 'likely'> = englishBenchWords,
  tellsLikely = false,
): string {
  const role = found === undefined ? '' : roles[calledRole(found)];
  if (found === undefined || role === '') return '';
  const said = found.serves.length === 0 ? role : roleOf(role, found.serves.join(', '));
  return tellsLikely && found.confidence === 'likely' ? `${said}, ${likely}` : said;
}

/** Longest run of kind words that a language may have one word for. */
const LONGEST_KIND = 3;

/** The kinds of a part word by word, in a language that knows them; other words of the author's stay as they are. */
export function sayKinds(
  kinds: readonly string[],
  { kinds: known }: Pick<BenchWords, 'kinds'> = englishBenchWords,
): readonly string[] {
  const said: string[] = [];
  for (let at = 0; at < kinds.length; ) {
    let length = Math.min(LONGEST_KIND, kinds.length - at);
    while (length > 1 && known[kinds.slice(at, at + length).join(' ')] === undefined) length--;
    const written = kinds.slice(at, at + length).join(' ');
    said.push(known[written] ?? written);
    at += length;
  }
  return said;
}

/** Two values with a word between; the unit once where both have the same. */
export function joinValues(from: string, between: string, to: string): string {
  const unit = /\u00a0.*$/.exec(from)?.[0];
  const isSameUnit = unit !== undefined && to.endsWith(unit);
  return `${isSameUnit ? from.slice(0, -unit.length) : from}${between}${to}`;
}
