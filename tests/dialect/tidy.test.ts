/** The normal form of a tag, and the laws of tidying over everything that the dialect's tests and page write. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { opensTag, readItem, readTag } from '../../server/dialect/tag.ts';
import { tidyWritten } from '../../server/dialect/tidy.ts';
import type { Tag } from '../../server/dialect/tree.ts';
import { describeTag } from '../support/describe-tag.ts';
import { fragments, writtenTags } from '../support/written-tags.ts';

describe('spaces and signs', () => {
  test.each([
    ['{C14:4n4}', '{C14: 4n4}'],
    ['{ C14 : 4n4 }', '{C14: 4n4}'],
    ['{V5:a 331 ,g2 322,k 19.4}', '{V5: a 331, g2 322, k 19.4}'],
    ['{R17=470R,5W,V5.k to gnd}', '{R17 = 470R, 5W, V5.k to gnd}'],
    ['{C12 → 1uF 50V film}', '{C12 -> 1uF 50V film}'],
    ['{C12 = 10uF 25V=>1uF 50V}', '{C12 = 10uF 25V -> 1uF 50V}'],
    ['{V5.g:−38}', '{V5.g: -38}'],
    ['{B+1: 430–450 V}', '{B+1: 430-450 V}'],
    ['{C40+C41=100uF 350V,B+1 to GND}', '{C40 + C41 = 100uF 350V, B+1 to gnd}'],
    ['{D1 - D4 = 1N4007}', '{D1-D4 = 1N4007}'],
    ['{VR2: 850k/150k}', '{VR2: 850k / 150k}'],
    ['{T2 = output 8k:4R 8R 16R 18W}', '{T2 = output 8k : 4R 8R 16R 18W}'],
    ['{LS1: 11.2V@1kHz}', '{LS1: 11.2 V at 1 kHz}'],
  ])('%s', tidied);
});

describe('what a git host would make something else of', () => {
  test.each([
    ['{C31 = 100uF@6.3V}', '{C31 = 100uF 6.3V}'],
    ['{C31=47uF @ 500V}', '{C31 = 47uF 500V}'],
    ['{B+1: ~340 V}', '{B+1: about 340 V}'],
  ])('%s', tidied);
});

describe('names', () => {
  test.each([
    ['{V1-A = 12AX7}', '{V1A = 12AX7}'],
    ['{V1a.a: 180v}', '{V1A.a: 180 V}'],
    ['{V5 anode: 331V}', '{V5.a: 331 V}'],
    ['{V5.plate: 331 V}', '{V5.a: 331 V}'],
    ['{V5: anode 331; screen 322}', '{V5: a 331, g2 322}'],
    ['{V5: pin 3: 331, #8 19.4}', '{V5: pin 3 331, pin 8 19.4}'],
    ['{C40,45,46}', '{C40, 45, 46}'],
    ['{V5 and V6 = 6V6GT}', '{V5, V6 = 6V6GT}'],
  ])('%s', tidied);
});

describe('values, in the family that their author writes', () => {
  test.each([
    ['{R1 = 4K7}', '{R1 = 4k7}'],
    ['{R1 = 4.7 kohm}', '{R1 = 4.7k}'],
    ['{R17 = 470 ohms 5 watts wirewound}', '{R17 = 470R 5W wirewound}'],
    ['{C5=50 MFD 450WV}', '{C5 = 50uF 450V}'],
    ['{C4 = 32 + 32 MFD 450V}', '{C4 = 32+32uF 450V}'],
    ['{C5 = 47µF}', '{C5 = 47uF}'],
    ['{C9 = .022 400v}', '{C9 = .022 400V}'],
    ['{R1: 5,33 ohm}', '{R1: 5,33R}'],
    ['{VR2 = 1Meg log}', '{VR2 = 1M log}'],
    ['{R1 = 4.7k +/- 5 %}', '{R1 = 4.7k ±5%}'],
    ['{T1 = mains 290-0-290 V 150 mA 6.3 V 4 A}', '{T1 = mains 290-0-290V 150mA 6.3V 4A}'],
    ['{B+1: 8.2 V p-p}', '{B+1: 8.2 Vpp}'],
    ['{V5: 38ma}', '{V5: 38 mA}'],
    ['{C1: 31uF esr 4R2}', '{C1: 31uF ESR 4R2}'],
  ])('%s', tidied);
});

describe('the order of the form', () => {
  test.each([
    ['- B+1 352,B+2 338', '- B+1: 352, B+2: 338'],
    ['- V5 a 331, k19.4', '- V5: a 331, k 19.4'],
    ['- V5: 35 mA anode current', '- V5: a 35 mA'],
    ['- V1: 1 142, 3 1.2, pins 6/8 65', '- V1: pin 1 142, pin 3 1.2, pins 6/8 65'],
    ['- R31 reads 171k', '- R31: 171k'],
    ['- R12: was 100k, now 120k', '- R12: 100k -> 120k'],
    ['- R32 470R 1W -> 470R 3W', '- R32 = 470R 1W -> 470R 3W'],
    ['- C12 replaced with 1uF 50V film', '- C12 -> 1uF 50V film'],
    ['- C14 lifted :V5.g:0V', '- C14 lifted: V5.g: 0 V'],
    ['{V3: 12AX7}', '{V3 = 12AX7}'],
    ['{V5.a = 331}', '{V5.a: 331}'],
    ['{C31 = 100uF 50V, parallel to R17}', '{C31 = 100uF 50V, across R17}'],
  ])('%s', tidied);
});

describe('a line that is broken in the tag stays broken where it was', () => {
  test.each([
    ['{R17 =\n> 470Ω  5W}', '{R17 =\n> 470R 5W}'],
    ['{V5: a 331 ,\r\ng2 322}', '{V5: a 331,\r\ng2 322}'],
    ['{V5:\n  a 331V}', '{V5:\n  a 331 V}'],
  ])('%j', tidied);
});

describe('what is left alone', () => {
  test.each([
    '{C14}',
    '{R2: 6,15, 200R}',
    '{C1: 31}',
    '{C1 = 10K}',
    '{C10: 3.3 Mohm}',
    '{B+1: 10\u00a0000 V}',
    '{? (B+1-V1A.a)/R6}',
    '{keep C41: owner’s  wish — not ours}',
    '{accept over-voltage C21: fine→ok}',
    '{R17 = }',
    '{R1 = 4k7 47ÂµF}',
    '- V1: swapped it,no change',
    '- C21: 31uF - dried  out,I  think',
    '- C10: 3.3 Mohm (out of circuit)',
    '- R8 = 100k; R9 = 1k5',
    '- Mains: 236 V',
    '- V5: a 331 and {B+1:19Vpp}  there',
  ])('%s', (written) => {
    expect(tidy(written)).toBe(written);
  });
});

test('a remark stays byte for byte beside what is tidied', () => {
  expect(tidy('- C21:31 mfd — dried  out,I think; “leaky”')).toBe(
    '- C21: 31uF - dried  out,I think; “leaky”',
  );
  expect(tidy('{V5:38ma (two  readings→one)}')).toBe('{V5: 38 mA (two  readings→one)}');
  expect(tidy('{keep C41:it’s  his}')).toBe('{keep C41: it’s  his}');
});

describe('the laws, over every tag of the page and of the tests', () => {
  const { braces, items } = writtenTags();

  test('there are enough of them', () => {
    expect(braces.length).toBeGreaterThan(300);
    expect(items.length).toBeGreaterThan(150);
  });

  test('in braces', () => {
    for (const written of braces) holdToLaws(written, 'braces');
  });

  test('as items', () => {
    for (const written of items) holdToLaws(written, 'item');
    for (const written of braces) holdToLaws(written.slice(1, -1), 'item');
  });

  test('in braces over a line break of a quote', () => {
    for (const written of braces) holdToLaws(written.replace(' ', '\r\n> '), 'braces');
  });
});

const runs = { seed: 20311, numRuns: 400 };

describe('the laws, whatever is written', () => {
  test('by chance', () => {
    fc.assert(
      fc.property(fragments, (inner) => {
        for (const written of [inner, inner.toLowerCase()]) {
          holdToLaws(`{${written}}`, 'braces');
          holdToLaws(written, 'item');
        }
      }),
      runs,
    );
  });

  test('by a hurried hand', () => {
    fc.assert(
      fc.property(hurried, (inner) => {
        for (const written of [inner, inner.toLowerCase()]) {
          holdToLaws(`{${written}}`, 'braces');
          holdToLaws(written, 'item');
        }
      }),
      runs,
    );
  });
});

/** Tags that mostly read: a label, a sign and clauses, in any spelling and with any gap. */
const gap = fc.constantFrom('', ' ', '  ', '\u00a0', '\n> ');
const label = fc.constantFrom(
  'V5',
  'V1-A',
  'V1a',
  'V5.a',
  'V5 anode',
  'B+1',
  'R17',
  'C14',
  'C40,41',
  'VR2',
  'T2',
  'LS1',
  'GND',
  'V5 and V6',
);
const sign = fc.constantFrom(':', ' : ', '=', ' ', '->', '→', ' reads ', ' replaced with ');
const clause = fc.constantFrom(
  ...'a331|anode 331v|k 19,4|pin 3: 5|#8 19.4 V|470 ohms|4K7|22N|.022|47 µF|50 MFD|450WV|@ 500V|/ 5W|1/2 watt|±5 %|8.2 V p-p|38ma|~340|<0.1|430–450 V|esr 4r2|6V6GT|film|Electrolytic|V5.k to gnd|across R17|parallel to C3|charred|removed|at 3|? V|1 kHz|(hot)|— a remark, it is|date 2011|35 mA anode current|was 100k now 120k'.split(
    '|',
  ),
);
const hurried = fc
  .tuple(
    label,
    gap,
    sign,
    gap,
    fc.array(fc.tuple(clause, fc.constantFrom(' ', ',', ', ', ' , ', ';', ' and ', '  ')), { maxLength: 4 }),
  )
  .map(([name, before, mark, behind, clauses]) => name + before + mark + behind + clauses.flat().join(''));

/** Nothing but the spelling changes, and what is tidied is tidy. */
function holdToLaws(written: string, form: 'braces' | 'item'): void {
  const tidied = tidyWritten(written, form);
  if (tidied === undefined) return;
  expect(tidied).not.toBe(written);
  const [before, after] = [readAlone(written, form), readAlone(tidied, form)];
  expect(before, written).toBeDefined();
  if (before === undefined || after === undefined) throw new Error(`${written} became ${tidied}`);
  expect(describeTag(after), written).toBe(describeTag(before));
  expect(remarkOf(after, tidied), written).toBe(remarkOf(before, written));
  expect(tidyWritten(tidied, form), `${written} became ${tidied}`).toBeUndefined();
  expect(tidied.match(/\r\n|\r|\n/g), written).toEqual(written.match(/\r\n|\r|\n/g));
}

function readAlone(written: string, form: 'braces' | 'item'): Tag | undefined {
  const whole = { start: 0, end: written.length };
  const inner = { start: 1, end: written.length - 1 };
  if (form === 'item') return readItem(written, whole)?.tag;
  return opensTag(written, 1, inner.end) ? readTag(written, inner, whole, form).tag : undefined;
}

function remarkOf(tag: Tag, text: string): string {
  const inside = tag.kind === 'candidate' ? tag.tag : tag;
  return inside.remark === undefined ? '' : text.slice(inside.remark.span.start, inside.remark.span.end);
}

function tidy(written: string): string {
  const isItem = written.startsWith('- ');
  const alone = isItem ? written.slice(2) : written;
  return (isItem ? '- ' : '') + (tidyWritten(alone, isItem ? 'item' : 'braces') ?? alone);
}

function tidied(written: string, expected: string): void {
  expect(tidy(written)).toBe(expected);
}
