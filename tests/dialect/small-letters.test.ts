/** References in small letters are read where all of the line is, and everyday words stay words. */
import { describe, expect, test } from 'vitest';
import { readNote } from '../../server/dialect/note.ts';
import { tidyWritten } from '../../server/dialect/tidy.ts';
import { createSnapshot } from '../../server/text/snapshot.ts';
import { describeNote } from '../support/describe-tag.ts';

function said(text: string): string {
  return describeNote(readNote(createSnapshot('sheet.tagstrip.md', text))).join('\n');
}

describe('a hurried line', () => {
  test.each([
    ['{v5.a: 331}', 'reading V5.a voltage 331 V', '{V5.a: 331}'],
    ['- v5: a 331, k 20', 'reading V5.a voltage 331 V; V5.k voltage 20 V', '- V5: a 331, k 20'],
    ['{r17 = 470r}', 'fitted R17: 470 Ω', '{R17 = 470R}'],
    [
      '- r17 = 470r 5w, v5.k to gnd',
      'fitted R17: 470 Ω, power 5 W; V5.k to gnd',
      '- R17 = 470R 5W, V5.k to gnd',
    ],
    [
      '- c31 = 100uf 50v, across r17',
      'fitted C31: 100 µF, voltage 50 V; across R17',
      '- C31 = 100uF 50V, across R17',
    ],
    [
      '- c12 = 10uf 25v -> 1uf 50v film',
      'change C12: 10 µF, voltage 25 V -> 1 µF, voltage 50 V, film',
      '- C12 = 10uF 25V -> 1uF 50V film',
    ],
    ['- v1a.a: 184v', 'reading V1A.a voltage 184 V', '- V1A.a: 184 V'],
    ['- v5, v6 = 6v6gt', 'fitted V5, V6: 6v6gt', '- V5, V6 = 6v6gt'],
    ['- b+1: 352', 'reading B+1 voltage 352 V', '- B+1: 352'],
    ['- v5.a to b+1: 3.4 v', 'reading V5.a to B+1 voltage 3.4 V', '- V5.a to B+1: 3.4 V'],
    ['- r31: charred', 'state R31: charred', '- R31: charred'],
    ['- c19 -> removed', 'change C19: whatever was -> removed', '- C19 -> removed'],
    ['- v5: a 331 (hot)', 'reading V5.a voltage 331 V, when hot', '- V5: a 331 (hot)'],
  ])('%s', (written, reads, tidy) => {
    expect(said(written)).toBe(reads);
    const isItem = written.startsWith('- ');
    const alone = isItem ? written.slice(2) : written;
    expect((isItem ? '- ' : '') + (tidyWritten(alone, isItem ? 'item' : 'braces') ?? alone)).toBe(tidy);
  });
});

describe('everyday words', () => {
  test.each([
    '{r17}',
    '{c3: see above}',
    '{c3}',
    '{v2: draft}',
    '{v2: 3}',
    '{t1: then}',
    '{k20: 5}',
    '{a1: 331}',
    '{p5: 3}',
    '{q1: 12}',
    '{x1 = y2}',
    '{f1: 12}',
    '- d3 is nice: yes',
    '- v5: swapped it, no change',
    '- c4: the low one, 5 of them',
    '- t1 and t2: 4 of each kind',
    '- v2: better than v1',
    '- p12: 3 things',
    '- h2: 20',
    '- r2d2: 5',
    '- c14 has a crack: look',
    '- q3: 12 amps in, 4 out',
    '- v5: a 331 - and it glows',
    '- mp3: 5 songs',
  ])('%s', (written) => {
    // A name in doubt (`if q1 is a node`) is text as well, as long as no connection knows it.
    const lines = said(written).split('\n');
    expect(lines.filter((line) => line !== '' && !line.startsWith('if '))).toEqual([]);
  });
});
