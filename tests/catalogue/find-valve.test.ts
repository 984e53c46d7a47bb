import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  builtInCatalogue,
  findElectrode,
  sectionsAreAmbiguous,
  withExtraValves,
} from '../../server/catalogue/find-valve.ts';
import type { Valve } from '../../server/catalogue/valve.ts';

const { findValve, nearestValves, listValves } = builtInCatalogue;

/** What a name is taken for: the type, `*` behind it where there is a remark; or the question's choices. */
function taken(name: string): string {
  const answer = findValve(name);
  if (answer === undefined) return 'unknown';
  if ('ask' in answer) return `? ${answer.choices.map(({ type }) => type).join(' ')}`;
  return answer.valve.type + (answer.remark === undefined ? '' : ' *');
}

function getValve(name: string): Valve {
  const answer = findValve(name);
  if (answer === undefined || 'ask' in answer) throw new Error(`${name} is not one valve`);
  return answer.valve;
}

describe('a valve is known by what people call it', () => {
  it.each([
    ['12AX7', '12AX7'],
    ['ECC83', '12AX7'],
    ['ecc 83', '12AX7'],
    ['Ecc-83', '12AX7'],
    ['ECC83/12AX7', '12AX7'],
    ['12AX7 / ECC83', '12AX7'],
    ['12AX7 (ECC83)', '12AX7'],
    ['12AX7/ECC83/7025', '12AX7 *'],
    ['7025', '12AX7 *'],
    ['12AX7A', '12AX7A'],
    ['12AX7WA', '12AX7 *'],
    ['12AX7A-C', '12AX7A *'],
    ['ECC83S', '12AX7 *'],
    ['12AT7', '12AT7'],
    ['ECC81', '12AT7'],
    ['12AT7WC', '12AT7 *'],
    ['12AU7', '12AU7'],
    ['ECC82', '12AU7'],
    ['12AU7A', '12AU7A'],
    ['12AY7', '12AY7'],
    ['6072A', '12AY7 *'],
    ['5751', '5751'],
    ['6SL7', '6SL7GT'],
    ['6SL7GT', '6SL7GT'],
    ['6SN7GT', '6SN7GT'],
    ['6SN7WGTA', '6SN7GT *'],
    ['6SN7GTA', '6SN7GTB *'],
    ['6SN7GTB', '6SN7GTB'],
    ['EF86', 'EF86'],
    ['6267', 'EF86'],
    ['EL84', 'EL84'],
    ['6BQ5', 'EL84'],
    ['EL84M', 'EL84 *'],
    ['7189', 'EL84 *'],
    ['6V6', '6V6GT *'],
    ['6V6GT', '6V6GT'],
    ['6V6GT/G', '6V6GT *'],
    ['6V6GTA', '6V6GTA'],
    ['6L6', '6L6G *'],
    ['6L6G', '6L6G'],
    ['6L6 GC', '6L6GC'],
    ['6l6gc', '6L6GC'],
    ['6L6WGC', '6L6GC *'],
    ['6L6WGB', '5881 *'],
    ['5881', '5881'],
    ['5881/6L6WGC', '5881 *'],
    ['EL34', 'EL34'],
    ['EL34B', 'EL34 *'],
    ['EL34-R2', 'EL34 *'],
    ['EL34/6CA7', 'EL34 *'],
    ['KT66', 'KT66'],
    ['KT88', 'KT88'],
    ['6550', '6550'],
    ['6550A', '6550A'],
    ['6AQ5', '6AQ5'],
    ['EL90', '6AQ5'],
    ['6AQ5A', '6AQ5A'],
    ['6K6GT', '6K6GT'],
    ['6CA4', 'EZ81'],
    ['EZ81', 'EZ81'],
    ['6V4', 'EZ80'],
    ['5Y3GT', '5Y3GT'],
    ['5Y3', '5Y3GT'],
    ['5Y3WGTA', '5Y3GT *'],
    ['GZ34', 'GZ34'],
    ['5AR4', 'GZ34'],
    ['5U4', '5U4G *'],
    ['5U4GB', '5U4GB'],
    ['5V4GA', '5V4G *'],
    ['6X4', '6X4'],
    ['EZ90', '6X4'],
    ['VT-231', '6SN7GT'],
  ])('%s is %s', (name, expected) => {
    expect(taken(name)).toBe(expected);
  });

  it.each([
    '',
    '  ',
    '/',
    'V5',
    '12AX',
    'EL340',
    '1N4007',
    'ECC88',
    '6X5GT',
    'EL34840',
    '6V6GX9',
    'constructor',
    '__proto__',
    '🔥',
  ])('%j is nothing it knows', (name) => {
    expect(taken(name)).toBe('unknown');
  });

  it('says in the remark what it took for granted', () => {
    expect(findValve('12AX7WA')).toMatchObject({
      remark:
        '12AX7WA is taken as 12AX7: nothing is known here of the suffix WA, and its maker’s sheet may allow more or less.',
    });
    expect(findValve('5881/6L6WGC')).toMatchObject({
      remark: '5881/6L6WGC names 5881 and 6L6GC; the lower limits, of 5881, are used.',
    });
  });
});

describe('where two valves may be meant, it asks', () => {
  it.each(['12DW7', '7247', 'ECC832', '12DW7A', 'ECC832/12DW7'])('%s: which half', (name) => {
    expect(taken(name)).toBe('? 12DW7-100 12DW7-17');
  });
  it.each([
    ['12DW7-100', '12DW7-100'],
    ['12DW7/100', '12DW7-100'],
    ['12dw7 µ17', '12DW7-17'],
    ['12DW7 mu 100', '12DW7-100'],
    ['7247-17', '12DW7-17'],
  ])('%s is %s', (name, expected) => {
    expect(taken(name)).toBe(expected);
  });
  it('two names with different pins', () => {
    expect(taken('6L6GC/EL34')).toBe('? 6L6GC EL34');
  });
});

describe('names that look like it', () => {
  it.each([
    ['12XA7', '12AX7'],
    ['EL43', 'EL34'],
    ['6L6CG', '6L6GC'],
    ['ECC38', 'ECC83'],
    ['GZ43', 'GZ34'],
  ])('%s may be %s', (wrong, right) => {
    expect(nearestValves(wrong)).toContain(right);
  });
  it('offers nothing for what looks like nothing', () => {
    expect(nearestValves('potentiometer')).toEqual([]);
  });
});

describe('a shop’s own valves', () => {
  const own: Valve = { ...getValve('EL84'), type: '7591', synonyms: ['EL84X', '6CA7'] };
  const shop = withExtraValves([own]);
  it('are found, and win over built-in names', () => {
    expect(shop.findValve('7591')).toEqual({ valve: own });
    expect(shop.findValve('el84-x')).toEqual({ valve: own });
    expect(shop.findValve('6CA7')).toEqual({ valve: own });
    expect(shop.listValves()).toContain(own);
  });
  it('leave the others as they are', () => {
    expect(shop.findValve('EL34')).toEqual(findValve('EL34'));
    expect(builtInCatalogue.findValve('7591')).toBeUndefined();
  });
});

describe('pins', () => {
  it.each([
    ['12AX7', 6, 'a of 1'],
    ['12AX7', 3, 'k of 2'],
    ['6SN7GT', 1, 'g of 2'],
    ['6SN7GT', 5, 'a of 1'],
    ['EL34', 1, 'g3 of '],
    ['6V6GT', 8, 'k of '],
    ['6AQ5', 7, 'g of '],
    ['GZ34', 6, 'a2 of '],
    ['EL84', 9, 'g2 of '],
  ])('%s pin %d is %s', (type, pin, expected) => {
    const at = findElectrode(getValve(type), pin);
    expect(at && `${at.electrode} of ${at.section.name}`).toBe(expected);
  });
  it.each([
    ['12AX7', 9],
    ['EL84', 6],
    ['6V6GT', 2],
    ['6V6GT', 42],
  ])('%s pin %d is no electrode', (type, pin) => {
    expect(findElectrode(getValve(type), pin)).toBeUndefined();
  });
  it('halves of a twin have no name that everybody agrees on', () => {
    expect(sectionsAreAmbiguous(getValve('12AX7'))).toBe(true);
    expect(sectionsAreAmbiguous(getValve('EL34'))).toBe(false);
  });
});

describe('whatever is typed', () => {
  it('answers without a throw', () => {
    fc.assert(
      fc.property(
        fc.oneof(
          fc.string({ unit: fc.integer({ min: 0, max: 0xffff }).map((code) => String.fromCharCode(code)) }),
          fc.string({ unit: fc.constantFrom(...'ACEGLTVXZ0123456789/ -'), maxLength: 12 }),
        ),
        (text) => {
          findValve(text);
          nearestValves(text);
        },
      ),
      { seed: 1, numRuns: 300 },
    );
  });
  it('takes no page of text for a valve', () => {
    expect(findValve('EL34 '.repeat(100_000))).toBeUndefined();
    expect(nearestValves('EL34 '.repeat(100_000))).toEqual([]);
  });
  it('finds every valve by its type and each of its synonyms', () => {
    for (const valve of listValves()) {
      for (const name of [valve.type, ...valve.synonyms])
        expect(findValve(name), name).toMatchObject({ valve });
    }
  });
});
