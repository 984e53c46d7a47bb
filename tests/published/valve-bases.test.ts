/** Pins of the valves' bases, counted clockwise from below, as data sheets print them. The last word of a row is where it comes from. */
import { describe, expect, it } from 'vitest';
import { builtInCatalogue } from '../../server/catalogue/find-valve.ts';
import type { Valve } from '../../server/catalogue/valve.ts';

/** `1: a6 g7 k8 | 2: a1 g2 k3 | h4,5 ct9`. */
function pinsOf({ sections, heater }: Valve): string {
  const parts = sections.map(
    ({ name, pins }) =>
      (name === '' ? '' : `${name}: `) +
      Object.entries(pins)
        .map(([electrode, at]) => `${electrode} ${at.join('+')}`)
        .join(', '),
  );
  const tap = heater.centreTap === undefined ? '' : ` tap ${heater.centreTap}`;
  return [...parts, `h ${heater.pins.join('+')}${tap}`].join(' | ');
}

describe('bases', () => {
  it.each([
    ['12AX7', '1: a 6, g 7, k 8 | 2: a 1, g 2, k 3 | h 4+5 tap 9', 'data sheet'],
    ['12AT7', '1: a 6, g 7, k 8 | 2: a 1, g 2, k 3 | h 4+5 tap 9', 'data sheet'],
    ['12AU7', '1: a 6, g 7, k 8 | 2: a 1, g 2, k 3 | h 4+5 tap 9', 'from memory, same base 9A'],
    ['12AY7', '1: a 6, g 7, k 8 | 2: a 1, g 2, k 3 | h 4+5 tap 9', 'from memory'],
    ['5751', '1: a 6, g 7, k 8 | 2: a 1, g 2, k 3 | h 4+5 tap 9', 'from memory'],
    ['6SL7GT', '1: a 5, g 4, k 6 | 2: a 2, g 1, k 3 | h 7+8', 'from memory, base 8BD'],
    ['6SN7GT', '1: a 5, g 4, k 6 | 2: a 2, g 1, k 3 | h 7+8', 'from memory, base 8BD'],
    ['EF86', 'a 6, g 9, g2 1, g3 8, k 3, s 2+7 | h 4+5', 'from memory'],
    ['EL84', 'a 7, g 2, g2 9, k 3 | h 4+5', 'from memory'],
    ['6V6GT', 'a 3, g 5, g2 4, k 8 | h 2+7', 'from memory'],
    ['6L6GC', 'a 3, g 5, g2 4, k 8 | h 2+7', 'handbook of 1973'],
    ['5881', 'a 3, g 5, g2 4, k 8 | h 2+7', 'handbook of 1973'],
    ['EL34', 'a 3, g 5, g2 4, g3 1, k 8 | h 2+7', 'data sheet for g3, the rest from memory'],
    ['KT66', 'a 3, g 5, g2 4, k 8 | h 2+7', 'valve manual of 1962'],
    ['KT88', 'a 3, g 5, g2 4, k 8 | h 2+7', 'from memory'],
    ['6550', 'a 3, g 5, g2 4, k 8 | h 2+7', 'from memory'],
    ['6AQ5', 'a 5, g 1+7, g2 6, k 2 | h 3+4', 'from memory'],
    ['6K6GT', 'a 3, g 5, g2 4, k 8 | h 2+7', 'from memory'],
    ['EZ81', 'a1 1, a2 7, k 3 | h 4+5', 'from memory'],
    ['EZ80', 'a1 1, a2 7, k 3 | h 4+5', 'from memory'],
    ['5Y3GT', 'a1 4, a2 6, k 8+2 | h 2+8', 'data sheet of the same base, the rest from memory'],
    ['5U4GB', 'a1 4, a2 6, k 8+2 | h 2+8', 'data sheet of the same base, the rest from memory'],
    ['GZ34', 'a1 4, a2 6, k 8 | h 2+8', 'from memory'],
    ['5V4G', 'a1 4, a2 6, k 8 | h 2+8', 'from memory'],
    ['6X4', 'a1 1, a2 6, k 7 | h 3+4', 'data sheet in part, the rest from memory'],
  ])('%s: %s (%s)', (type, pins) => {
    const answer = builtInCatalogue.findValve(type);
    expect(answer && 'valve' in answer ? pinsOf(answer.valve) : undefined).toBe(pins);
  });
});
