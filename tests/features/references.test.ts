/** Where else a part or point is named, on this sheet and on all that share its names. */
import { describe, expect, it } from 'vitest';
import { checkHighlights, checkReferences } from '../support/navigation.ts';

describe('references', () => {
  it('of a part are on the chassis sheet and on every job that rests on it, in prose and in questions too', async () => {
    expect(
      await checkReferences(`%%% chassis/larch
---
sheet: chassis
---
- R19 = 330R 5W, V3.k to gnd
- C9 = 22n, V3.k to R19.1
%%% jobs/1
---
chassis: ../chassis/larch.tagstrip.md
---
Is ‸R19 hot? {? V3.k / R19}.

![R19](r19.jpg)
%%% jobs/2
---
chassis: ../chassis/larch.tagstrip.md
---
Nothing of it, but R1 and R190.
%%% jobs/3
---
chassis: ../chassis/larch.tagstrip.md
---
- R19 lifted: V3.k: 0 V
%%% jobs/4
R19 of another amplifier: {R19}.
`),
    ).toMatchInlineSnapshot(`
      "jobs/1: Is ⟦R19⟧ hot? {? V3.k / R19}. (prose)
      jobs/1: Is R19 hot? {? V3.k / ⟦R19⟧}. (mention)
      jobs/1: ![⟦R19⟧](r19.jpg) (prose)
      chassis/larch: - ⟦R19⟧ = 330R 5W, V3.k to gnd (declaration)
      chassis/larch: - C9 = 22n, V3.k to ⟦R19⟧.1 (mention)
      jobs/3: - ⟦R19⟧ lifted: V3.k: 0 V (mention)"
    `);
  });

  it('of a point are those of the point alone', async () => {
    expect(
      await checkReferences(`- V5: ‸a 331, k 20
- {V5.a to B+1: 4 V} {V6.a}
- {? (B+1 - V5.a) / R4}
`),
    ).toMatchInlineSnapshot(`
      "sheet: - V5: ⟦a⟧ 331, k 20 (reading)
      sheet: - {⟦V5.a⟧ to B+1: 4 V} {V6.a} (reading)
      sheet: - {? (B+1 - ⟦V5.a⟧) / R4} (mention)"
    `);
    expect(
      await checkReferences('{R9 = 1M, V2A.g to t‸ail} {tail: 36 V} {? tail / R9}\n'),
    ).toMatchInlineSnapshot(`
      "sheet: {R9 = 1M, V2A.g to ⟦tail⟧} {tail: 36 V} {? tail / R9} (declaration)
      sheet: {R9 = 1M, V2A.g to tail} {⟦tail⟧: 36 V} {? tail / R9} (reading)
      sheet: {R9 = 1M, V2A.g to tail} {tail: 36 V} {? ⟦tail⟧ / R9} (mention)"
    `);
  });

  it('of a whole valve are those of its sections, and of a section only its own', async () => {
    const sheet = (first: string) => `{${first}} {V1A.a: 160 V} {V1B: k 1.2} {V10}\n`;
    expect(await checkReferences(sheet('V‸1'))).toMatchInlineSnapshot(`
      "sheet: {⟦V1⟧} {V1A.a: 160 V} {V1B: k 1.2} {V10} (mention)
      sheet: {V1} {⟦V1A⟧.a: 160 V} {V1B: k 1.2} {V10} (reading)
      sheet: {V1} {V1A.a: 160 V} {⟦V1B⟧: k 1.2} {V10} (reading)"
    `);
    expect(await checkReferences(sheet('V1').replace('V1B', 'V1‸B'))).toMatchInlineSnapshot(
      `"sheet: {V1} {V1A.a: 160 V} {⟦V1B⟧: k 1.2} {V10} (reading)"`,
    );
  });

  it('are none of a word that nobody declared', async () => {
    expect(await checkReferences('A ‸word, R19.\n')).toBe('nothing');
  });
});

describe('highlights', () => {
  it('are writings where it is fitted or changed, readings elsewhere, and bare words', async () => {
    expect(
      await checkHighlights(
        '{R‸17 = 470R} {C3 = 1u, across R17}\n\n- R17: 468R\n- R17 -> 1k\n\nR17 {? 1 V / R17}\n',
      ),
    ).toMatchInlineSnapshot(`
      "{⟦R17⟧ = 470R} {C3 = 1u, across ⟦R17⟧}

      - ⟦R17⟧: 468R
      - ⟦R17⟧ -> 1k

      ⟦R17⟧ {? 1 V / ⟦R17⟧}
      (write, read, read, write, text, read)"
    `);
  });

  it('mark a chart’s row once', async () => {
    expect(
      await checkHighlights(
        '| Valve | a | k |\n| - | - | - |\n| ‸V3 | 320 | 22 |\n| V4 | 321 | 22 |\n\n{V3}\n',
      ),
    ).toMatchInlineSnapshot(`
      "| Valve | a | k |
      | - | - | - |
      | ⟦V3⟧ | 320 | 22 |
      | V4 | 321 | 22 |

      {⟦V3⟧}
      (read, read)"
    `);
  });
});
