/** Where a name is declared, what stands in the outline, which findings are shown, and what mends them. */
import { describe, expect, it } from 'vitest';
import { checkDefinition, checkDiagnostics, checkFixes, checkSymbols } from '../support/features.ts';

const others = {
  '../chassis/larch.tagstrip.md':
    '---\nsheet: chassis\n---\n\n- V5 = 6V6GT\n- C14 = 22n 400V, V2A.a to V5.g\n',
};
const job = (marked: string) => `---\nchassis: ../chassis/larch.tagstrip.md\n---\n\n${marked}\n`;

describe('definition', () => {
  it('stays on the sheet where the part is declared', async () => {
    expect(await checkDefinition('{R17 = 470R}\n\nSo {‸R17} it is.\n')).toBe(
      'sheet.tagstrip.md: {⟦R17⟧ = 470R}'.replace('sheet', 'job'),
    );
  });

  it('goes into the chassis sheet from a mention, a reading, prose and an electrode', async () => {
    const wanted = 'larch.tagstrip.md: - ⟦V5⟧ = 6V6GT';
    expect(await checkDefinition(job('{‸V5}'), { others })).toBe(wanted);
    expect(await checkDefinition(job('{‸V5: a 331}'), { others })).toBe(wanted);
    expect(await checkDefinition(job('The ‸V5 glows.'), { others })).toBe(wanted);
    expect(await checkDefinition(job('{V5: ‸k 19.4}'), { others })).toBe(wanted);
  });

  it('prefers this sheet to the chassis sheet', async () => {
    expect(await checkDefinition(job('{C14 = 10n 630V} {‸C14}'), { others })).toBe(
      'job.tagstrip.md: {⟦C14⟧ = 10n 630V} {C14}',
    );
  });

  it('is not what is only planned or what another revision has', async () => {
    const sheet = `{R17 = 470R} {‸R17}

- [ ] R17 = 1k 5W

## Differs from revision a

{R17 = 360R}
`;
    expect(await checkDefinition(sheet)).toBe('job.tagstrip.md: {⟦R17⟧ = 470R} {R17}');
  });

  it('of a free node is its first connection', async () => {
    expect(
      await checkDefinition('{R9 = 1M, V2A.g to tail} {R12 = 15k, tail to gnd}\n\n{‸tail: 36 V}\n'),
    ).toBe('job.tagstrip.md: {R9 = 1M, V2A.g to ⟦tail⟧} {R12 = 15k, tail to gnd}');
  });

  it('is nowhere for what nobody declared', async () => {
    expect(await checkDefinition('{‸R99}\n')).toBe('');
    expect(await checkDefinition('No ‸part.\n')).toBe('');
  });
});

describe('the outline', () => {
  it('has headings by depth, and what is fitted, changed and read under them', async () => {
    expect(
      await checkSymbols(`# Larch 20

## As found
- V5 6V6GT: a 331
{B+1: 352 V}

### More
{C1: 31uF}

## Work
- C1 -> 47uF 500V

## Owner
`),
    ).toMatchInlineSnapshot(`
      "section Larch 20 ⟦# Larch 20⟧ as found
        section As found ⟦## As found⟧ 
          part V5 ⟦V5⟧
          reading V5.a ⟦a⟧
          reading B+1 ⟦B+1⟧
          section More ⟦### More⟧ as found
            reading C1 ⟦C1⟧
        section Work ⟦## Work⟧ during the work
          change C1 ⟦C1⟧
        section Owner ⟦## Owner⟧ "
    `);
  });

  it('of a table names what stands in its rows', async () => {
    expect(
      await checkSymbols('# Parts\n\n| Ref | Value |\n| --- | --- |\n| R1 | 1k |\n| C1 | 1uF |\n'),
    ).toMatchInlineSnapshot(`
      "section Parts ⟦# Parts⟧ as found
        part R1 ⟦R1⟧
        part C1 ⟦C1⟧"
    `);
  });

  it('has the parts alone, in order, where the editor lists the headings itself', async () => {
    expect(await checkSymbols('# Larch\n\n{R1 = 1k}\n\n## Work\n\n- R1 -> 2k\n', { headings: false })).toBe(
      'part R1 ⟦R1⟧\nchange R1 ⟦R1⟧',
    );
  });

  it('is empty without headings', async () => {
    expect(await checkSymbols('{V5: a 331}\n')).toBe('');
  });
});

describe('findings shown', () => {
  const text = '- R17 = 1,500\n- V5 6V6GT: a 331, 60 mA\n';

  it('are all of them when nothing is typed', async () => {
    expect(await checkDiagnostics(text, { emoji: false })).toMatchInlineSnapshot(`
      "info value-ambiguous 1,500 "1,500"
      error anode-over-dissipation V5 as-found "60 mA""
    `);
  });

  it('blame no writing on the line being typed, but do tell of its valve', async () => {
    expect(await checkDiagnostics(text, { emoji: false, typing: 0 })).not.toContain('value-ambiguous');
    expect(await checkDiagnostics(text, { emoji: false, typing: 1 })).toBe(
      await checkDiagnostics(text, { emoji: false }),
    );
  });

  it('are not those that were accepted', async () => {
    expect(
      await checkDiagnostics(`${text}\n{accept anode-over-dissipation V5: the owner knows}\n`, {
        emoji: false,
      }),
    ).not.toContain('anode');
  });
});

describe('quick fixes', () => {
  it('write an ambiguous value either way', async () => {
    expect(await checkFixes('- R17 = ⟦1,500⟧\n- R18 = 2,200\n', { emoji: false })).toMatchInlineSnapshot(`
      "Write 1k5 (1.5 kΩ) (suggestion)
        - R17 = 1k5
      Write 1R5 (1.5 Ω) (suggestion)
        - R17 = 1R5"
    `);
  });

  it('correct a valve type one letter off', async () => {
    expect(await checkFixes('{V5 = ⟦6V7GT⟧}\n')).toMatchInlineSnapshot(`
      "Write 6V6GT (suggestion)
        {V5 = 6V6GT}"
    `);
  });

  it('offer the connection that a figure lacks', async () => {
    expect(
      await checkFixes('{V5 6V6GT: a 331, k 19.4}\n\n{⟦R18⟧ = 270R 5W} by the socket\n'),
    ).toMatchInlineSnapshot(`
      "Write “V5.k to gnd” behind R18, for its cathode current (suggestion)
        {R18 = 270R 5W, V5.k to gnd} by the socket"
    `);
  });

  it('are none where nothing is wrong', async () => {
    expect(await checkFixes('{V5 = ⟦6V6GT⟧}\n')).toBe('');
  });
});
