/** Mod sheets against the chassis that they were written for: refs that moved, values and types that differ, and what is nobody's business. */
import { describe, expect, it } from 'vitest';
import { fixes } from '../../server/features/fixes.ts';
import { memoryFiles } from '../../server/shop/files.ts';
import { createShop } from '../../server/shop/shop.ts';
import { analyse } from '../support/check.ts';

const B = '../chassis/rowan-8.b.tagstrip.md';
const C = '../chassis/rowan-8.c.tagstrip.md';
const chassis = (body: string) => `---\nsheet: chassis\n---\n# Rowan 8\n\n${body}`;
const REV_B = chassis(
  '- V1A = 12AX7\n- V1B = 12AX7\n- V3 = 6V6GT\n- C7 = 22n 400V, V1A.a to V1B.g\n- R4 = 100k 1W, V1A.a to B+3\n- R9 = 470R 5W, V3.k to gnd\n- C31, C32 = 25uF 25V, V3.k to gnd\n',
);
const REV_C = REV_B.replace('C7 = 22n', 'C8 = 22n').replace('R4 = 100k', 'R4 = 220k');

async function said(
  body: string,
  writtenFor = `${B}`,
  others: Record<string, string> = { [B]: REV_B, [C]: REV_C },
) {
  const text = `---\nsheet: mod\nname: x\nwritten-for: ${writtenFor}\n---\n# Mod\n\n${body}\n`;
  const { findings } = await analyse(text, others);
  return findings
    .filter(({ severity }) => severity === 'warning' || severity === 'error')
    .map(({ rule, subject, message }) => `${rule} ${subject}: ${message.replaceAll('\u00a0', ' ')}`);
}

describe('a mod that fits', () => {
  it.each([
    ['the same value', '- C7 = 22n -> 10n 630V film'],
    ['a value of the same make in older figures', '- C7 = 0.02uF -> 10n 630V film'],
    ['no value at all', '- C7 -> 10n 630V film'],
    ['another name of the same valve', '- V1A = ECC83 -> 12AY7'],
    ['a part that it adds', '- R90 = 1k5 0.5W, V1A.k to gnd'],
    ['where the part sits there', '- R4 = 100k, V1A.a to B+3 -> 220k 1W'],
    ['its ends the other way round', '- R4 = 100k, B+3 to V1A.a -> 220k 1W'],
    ['where the new part goes', '- R9 = 470R -> 1k 5W, V1A.k to gnd'],
    ['what it takes out', '- C31 = 25uF -> removed'],
    ['a part changed twice', '- C7 = 22n -> 10n 630V film\n- C7 = 10n -> 4n7 630V film'],
  ])('%s', async (_, body) => {
    expect(await said(body)).toEqual([]);
  });
});

describe('a mod that does not', () => {
  it.each([
    [
      'another value',
      '- R4 = 220k -> 100k 1W',
      /^mod-target-differs R4: This mod changes R4 as 220 kΩ, and on \S+b\.tagstrip\.md, R4 is 100 kΩ /,
    ],
    [
      'a ref that is not there',
      '- C8 = 22n -> 10n 630V film',
      /^mod-target-differs C8: .*there is no C8 .* C7 would fit\./,
    ],
    [
      'another valve',
      '- V3 = EL84 -> 6V6GT',
      /^mod-target-differs V3: This mod changes V3 as EL84, .*V3 is 6V6GT/,
    ],
    [
      'another place',
      '- R4 = 100k, V1B.a to B+3 -> 220k 1W',
      /^mod-target-differs R4: .*R4 sits between V1A\.a and B\+3/,
    ],
    [
      'a part to take out that is not there',
      '- C90 -> removed',
      /^mod-target-differs C90: .*there is no C90/,
    ],
  ])('%s', async (_, body, expected) => {
    expect(await said(body)).toEqual([expect.stringMatching(expected)]);
  });

  it('is told once of several chassis, each by name', async () => {
    const list = `\n  - ${B}\n  - ${C}`;
    expect(await said('- R4 = 47k -> 100k 1W', list)).toEqual([
      expect.stringMatching(/on \S+b\.tagstrip\.md, R4 is 100 kΩ; on \S+c\.tagstrip\.md, R4 is 220 kΩ/),
    ]);
    expect(await said('- C7 = 22n -> 10n 630V film', list)).toEqual([
      expect.stringMatching(/and on \S+c\.tagstrip\.md, there is no C7/),
    ]);
  });
});

describe('what a mod makes of an amplifier is judged, and not what it finds there', () => {
  const on = {
    [B]: chassis(
      '- T1 = mains 320-0-320V 150mA\n- D1, D2 = 1N4007, T1 to B+1\n- C1 = 47uF 450V, B+1 to gnd\n\n- B+1: 440 V\n',
    ),
  };

  it('a reservoir that it renews for more volts', async () => {
    expect(await said('- C1 = 47uF 450V -> 47uF 550V', B, on)).toEqual([]);
  });

  it('one that it fits for too few', async () => {
    expect(await said('- C1 = 47uF -> 100uF 400V', B, on)).toEqual([
      expect.stringMatching(
        /^cold-start-over-voltage C1: With the modification, C1 meets 533 V .*: 133 % of its 400 V/,
      ),
    ]);
  });
});

describe('the chassis of a mod sheet', () => {
  it('that is missing is said at its own line, and the others count', async () => {
    expect(await said('- R4 = 220k -> 100k 1W', `[${B}, ${C}]`, { [B]: REV_B })).toEqual([
      expect.stringMatching(/^sheet-missing \S+c\.tagstrip\.md: written-for:/),
      expect.stringMatching(/^mod-target-differs R4/),
    ]);
  });

  it('is looked at again when it changes', async () => {
    const [mod, b] = ['file:///shop/mods/m.tagstrip.md', 'file:///shop/chassis/b.tagstrip.md'];
    const text =
      '---\nsheet: mod\nwritten-for: ../chassis/b.tagstrip.md\n---\n# Mod\n\n- R4 = 220k -> 100k 1W\n';
    const shop = createShop({ files: memoryFiles({ [mod]: text, [b]: REV_B }) });
    const rules = async () => (await shop.analyse(mod))?.findings.map(({ rule }) => rule);
    expect(await rules()).toContain('mod-target-differs');
    expect(shop.dependents(b)).toEqual([mod]);
    shop.store.setOpen(b, REV_C, 1);
    expect(await rules()).not.toContain('mod-target-differs');
  });

  it('offers no ref where several would fit', async () => {
    const text = `---\nsheet: mod\nwritten-for: ${B}\n---\n# Mod\n\n- C40 = 25uF -> 22uF 50V\n`;
    const analysis = await analyse(text, { [B]: REV_B });
    expect(fixes(analysis, { start: 0, end: text.length }).map(({ finding }) => finding.rule)).not.toContain(
      'mod-target-differs',
    );
  });
});
