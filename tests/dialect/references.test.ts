/** Names of parts and points: what is one, what is not, and what its normal form is. */
import { describe, expect, test } from 'vitest';
import { findPartClass } from '../../server/dialect/letters.ts';
import { scanPoint } from '../../server/dialect/points.ts';
import { scanRef, scanRefList } from '../../server/dialect/references.ts';
import { opensTag } from '../../server/dialect/tag.ts';
import { showPoint } from './tag-show.ts';

describe('class letters', () => {
  test.each([
    ['R', 'resistor'],
    ['VR', 'potentiometer'],
    ['RV', 'potentiometer'],
    ['P', 'potentiometer'],
    ['C', 'capacitor'],
    ['L', 'inductor'],
    ['T', 'transformer'],
    ['OPT', 'transformer'],
    ['TR', 'transformer-or-transistor'],
    ['V', 'valve'],
    ['CR', 'diode'],
    ['U', 'integrated-circuit'],
    ['F', 'fuse'],
    ['SW', 'switch'],
    ['J', 'connector'],
    ['LS', 'loudspeaker'],
    ['DS', 'lamp'],
    ['K', 'relay'],
    ['TK', 'tank'],
    ['RT', 'thermistor'],
    ['BT', 'battery'],
    ['EL', undefined],
    ['KT', undefined],
    ['constructor', undefined],
  ])('%s', (letters, partClass) => {
    expect(findPartClass(letters)).toBe(partClass);
  });
});

describe('one ref', () => {
  test.each([
    ['R17', 'R17'],
    ['V1a', 'V1A'],
    ['V3b', 'V3B'],
    ['V1-A', 'V1A'],
    ['C5A', 'C5A'],
    ["R17'", "R17'"],
    ['OT', 'OT'],
    ['r17', undefined],
    ['EL34', undefined],
    ['6V6GT', undefined],
    ['R17k', undefined],
    ['R', undefined],
    ['R17_b', undefined],
    ['XR17', undefined],
  ])('%s', (written, name) => {
    expect(scanRef(written, 0)?.ref.name).toBe(name);
  });

  test('in arithmetic a hyphen takes away', () => {
    expect(scanRef('V1-A', 0, false)?.ref.name).toBe('V1');
  });

  test('touching letters or digits make it another word', () => {
    expect(scanRef('BR17', 1)).toBeUndefined();
    expect(scanRef('µR17', 1)).toBeUndefined();
  });
});

describe('several refs', () => {
  test.each([
    ['V5, V6', 'V5 V6'],
    ['V5 and V6', 'V5 V6'],
    ['V5 V6', 'V5 V6'],
    ['V5/V6', 'V5 V6'],
    ['R40, 45, 46, and 39', 'R40 R45 R46 R39'],
    ['C40,45,46', 'C40 C45 C46'],
    ['C12A, B', 'C12A'],
    ['D1-D4', 'D1 D2 D3 D4'],
    ['D1-4', 'D1 D2 D3 D4'],
    ['D4-D1', 'D4'],
    ['D1-C4', 'D1'],
    ['R1-R9999', 'R1'],
    ['C40 + C41', 'C40 series C41'],
    ['R4, 22 k', 'R4'],
    ['R4, 22', 'R4 R22'],
  ])('%s', (written, names) => {
    const list = scanRefList(written, 0);
    expect(list?.refs.map(({ name }) => name).join(list.series ? ' series ' : ' ')).toBe(names);
  });
});

describe('points', () => {
  test.each([
    ['V5.a', 'V5.a'],
    ['V5.plate', 'V5.a'],
    ['V5.G2', 'V5.g2'],
    ['V5.screen', 'V5.g2'],
    ['V1A.g', 'V1A.g'],
    ['V5.3', 'V5.3(pin)'],
    ['V5 pin 3', 'V5.3(pin)'],
    ['V5 pin #7', 'V5.7(pin)'],
    ['VR2.2', 'VR2.2'],
    ['VR2.wiper', 'VR2.wiper'],
    ['Q1.c', 'Q1.c'],
    ['Q1.d', 'Q1.d'],
    ['IC1.7', 'IC1.7'],
    ['T2.8R', 'T2.8R'],
    ['T2.8 ohm', 'T2.8R'],
    ['T1.1', 'T1.1'],
    ['D1.k', 'D1.k'],
    ['B+', 'B+'],
    ['B+1', 'B+1'],
    ['B-', 'B-'],
    ['HT+', 'HT+'],
    ['HT2', 'HT2'],
    ['gnd', 'gnd'],
    ['GND', 'gnd'],
    ['ground', 'gnd'],
    ['live', 'line'],
    ['mains', 'mains'],
    ['tail', 'tail'],
    ['Tail', 'tail'],
    ['film', undefined],
    ['anode', undefined],
    ['g2', undefined],
    ['uF', undefined],
    ['removed', undefined],
    ['HTX', undefined],
  ])('%s', (written, name) => {
    const point = scanPoint(written, 0)?.point;
    expect(point && showPoint(point)).toBe(name);
  });
});

describe('spelling decides whether a brace opens a tag', () => {
  test.each([
    '{R17}',
    '{ R17 }',
    '{R17 = }',
    '{V5.a: 331}',
    '{B+1}',
    '{gnd}',
    '{mains: 236 V}',
    '{? B+1 / 2}',
    '{?B+1}',
    '{accept two-values V5: why}',
    '{keep C41}',
    '{tail: -1.2 V}',
    '{tail = V4.k}',
    '{bias: -38 V}',
    '{earth to chassis: 0.1R}',
  ])('%s is one', (written) => {
    expect(opensTag(written, 1, written.length - 1)).toBe(true);
  });

  test.each([
    '{}',
    '{name}',
    '{tail}',
    '{tail: something}',
    '{bias}',
    '{bias: hot}',
    '{{ user }}',
    '{% if V5 %}',
    '{: .R17 }',
    '{# comment #}',
    '{+added+}',
    '{??}',
    '{acceptable}',
    '{keeper}',
    '{r17}',
    '{6V6GT}',
    '{width: 100px}',
  ])('%s is text', (written) => {
    expect(opensTag(written, 1, written.length - 1)).toBe(false);
  });
});
