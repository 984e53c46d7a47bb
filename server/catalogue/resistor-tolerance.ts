/** Owns the tolerance that a resistor is taken to have where none is written. */
import { type Ratio, ratio } from '../units/si.ts';
import type { Trust } from './valve.ts';

const PRACTICE: Trust = { mark: 'weak', source: 'common practice, no source' };

const BY_KIND: readonly { readonly kind: RegExp; readonly share: number }[] = [
  { kind: /metal film|metal-film/, share: 0.02 },
  { kind: /comp/, share: 0.2 },
  { kind: /wire|film|oxide/, share: 0.05 },
];
const OF_NO_KIND = 0.1;

/** By the words for its kind in small letters, as a share either way. */
export function usualResistorTolerance(kinds: readonly string[]): {
  readonly share: Ratio;
  readonly trust: Trust;
} {
  const words = kinds.join(' ');
  return { share: ratio(BY_KIND.find(({ kind }) => kind.test(words))?.share ?? OF_NO_KIND), trust: PRACTICE };
}
