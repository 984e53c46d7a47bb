/** The offers that write a sheet on or write it otherwise: the next valve of a chart or list, and a chart made of a list. */
import { describe, expect, it } from 'vitest';
import { addReading } from '../../server/features/add-reading.ts';
import { moveToTable } from '../../server/features/move-to-table.ts';
import type { Fix } from '../../server/rules/rule.ts';
import type { Analysis } from '../../server/shop/shop.ts';
import { applyEdits } from '../../server/text/edits.ts';
import { analyse } from '../support/check.ts';
import { getCursor, variants } from '../support/fixture.ts';

type Offer = (analysis: Analysis, at: { start: number; end: number }) => readonly Fix[];

/** The title and the sheet after it, the same in all line ends; empty where nothing is offered. */
async function offered(offer: Offer, marked: string): Promise<string> {
  const answers = new Set<string>();
  for (const { fixture } of variants(marked, { emoji: false })) {
    const [file] = fixture.files;
    if (file === undefined) throw new Error('no file');
    const at = getCursor(file);
    const [fix, ...more] = offer(await analyse(file.text), { start: at, end: at });
    expect(more).toEqual([]);
    const after = fix === undefined ? '' : applyEdits(file.text, fix.edits);
    if (file.text.includes('\r\n')) expect(after).not.toMatch(/[^\r]\n/);
    answers.add(
      fix === undefined ? '' : `${fix.title}\n${after.replace('\uFEFF', '').replaceAll('\r\n', '\n')}`,
    );
  }
  expect([...answers]).toHaveLength(1);
  return [...answers][0] ?? '';
}

const VALVES = '{V1A, V1B = 12AX7} {V2, V10 = 6V6GT} {V5 = GZ34}\n\n';

describe('the next valve', () => {
  it('has a row in a chart, as wide as the one above', async () => {
    expect(
      await offered(
        addReading,
        `${VALVES}| Valve | a     | k    |\n| ----- | ----- | ---- |\n| V1A   | 18‸4.0 | 1.32 |\n\nSo be it.\n`,
      ),
    ).toBe(
      `Add a row for V1B\n${VALVES}| Valve | a     | k    |\n| ----- | ----- | ---- |\n| V1A   | 184.0 | 1.32 |\n| V1B   |       |      |\n\nSo be it.\n`,
    );
  });

  it('is the one after the last, by number; rectifiers have no such readings', async () => {
    const chart = `${VALVES}| Valve | a |\n| --- | --- |\n| V2 | ‸331 |\n`;
    expect(await offered(addReading, chart)).toContain('Add a row for V10\n');
    const rest = `${VALVES}| Valve | a |\n| --- | --- |\n| V2, V10 | ‸331 |\n`;
    expect(await offered(addReading, rest)).toContain('Add a row for V1A\n');
  });

  it('is the first in a chart that has no rows yet', async () => {
    expect(await offered(addReading, `${VALVES}| Valve | a |\n| --- | --‸- |\n`)).toContain(
      '| --- | --- |\n| V1A   |   |\n',
    );
  });

  it('is not offered where all are there, where none is known, or in a chart of points', async () => {
    for (const chart of [
      `{V2 = 6V6GT}\n\n| Valve | a |\n| --- | --- |\n| V2 | ‸331 |\n`,
      '| Valve | a |\n| --- | --- |\n|  | ‸331 |\n',
      `${VALVES}| Point | V |\n| --- | --- |\n| V2.a | ‸331 |\n`,
      `${VALVES}| Ref | Value |\n| --- | --- |\n| R1 | ‸1k |\n`,
      `${VALVES}Some ‸prose.\n`,
    ])
      expect(await offered(addReading, chart)).toBe('');
  });

  it('has a line under a list of readings, with the electrodes that it has', async () => {
    expect(await offered(addReading, `${VALVES}- V2: a 33‸1, g2 322, k 19.4\n- B+1: 352 V\n\nSo.\n`)).toBe(
      `Add a line for V10\n${VALVES}- V2: a 331, g2 322, k 19.4\n- B+1: 352 V\n- V10: a ?, g2 ?, k ?\n\nSo.\n`,
    );
    expect(await offered(addReading, `${VALVES}> * V1A: a 18‸4, k 1.3\n> * V1B: a 180\n`)).toBe(
      `Add a line for V2\n${VALVES}> * V1A: a 184, k 1.3\n> * V1B: a 180\n> * V2: a ?, g2 ?, g ?, k ?\n`,
    );
  });

  it('is not offered at an item that reads no valve, in a task, or in a numbered list', async () => {
    for (const list of ['- B+1: 35‸2 V', '- [ ] V2: a 3‸31', '1. V2: a 3‸31', '- V2 = 6V‸6GT'])
      expect(await offered(addReading, `${VALVES}${list}\n`)).toBe('');
  });
});

describe('a chart', () => {
  it('is made of a list of readings, and says the same', async () => {
    expect(
      await offered(
        moveToTable,
        'Mains {mains: 236 V}.\n\n- V4: a 348 V, g2 338, g 0, k 20.1\n- V5 6V6GT: a 347, g +1.‸9, 38 mA\n- V6, V7: a 340, k 38 mV\n\nSo.\n',
      ),
    ).toBe(
      [
        'Make a chart of these readings',
        'Mains {mains: 236 V}.',
        '',
        '| Valve    | a   | g2  | g    | k     | mA  |',
        '| -------- | --- | --- | ---- | ----- | --- |',
        '| V4       | 348 | 338 | 0    | 20.1  |     |',
        '| V5 6V6GT | 347 |     | +1.9 |       | 38  |',
        '| V6, V7   | 340 |     |      | 38 mV |     |',
        '',
        'So.',
        '',
      ].join('\n'),
    );
  });

  it('stands apart from what is around it, and takes only the items that are readings at valves', async () => {
    expect(await offered(moveToTable, 'Read:\n- V4: a 348, pin 8 20\n- V5: a ‸347\n- B+1: 352 V\n')).toBe(
      [
        'Make a chart of these readings',
        'Read:',
        '',
        '| Valve | a   | pin 8 |',
        '| ----- | --- | ----- |',
        '| V4    | 348 | 20    |',
        '| V5    | 347 |       |',
        '',
        '- B+1: 352 V',
        '',
      ].join('\n'),
    );
  });

  it.each([
    ['one line', '- V4: a 3‸48\n'],
    ['a remark', '- V4: a 3‸48\n- V5: a 347 - glows\n'],
    ['a condition', '- V4: a 3‸48 (hot)\n- V5: a 347\n'],
    ['as left beside as found', '- V4: a 3‸48 -> 350\n- V5: a 347\n'],
    ['two readings of one electrode', '- V4: a 3‸48, a 350\n- V5: a 347\n'],
    ['a frequency', '- V4: a 300mV at 1 k‸Hz\n- V5: a 347\n'],
    ['a state', '- V4: a 3‸48, noisy\n- V5: a 347\n'],
    ['two points', '- V4.a to B+1: 3.‸4 V\n- V5: a 347\n'],
    ['tasks', '- [x] V4: a 3‸48\n- [x] V5: a 347\n'],
    ['an item with more below it', '- V4: a 3‸48\n- V5: a 347\n  and more\n'],
    ['an item with a list in it', '- V4: a 3‸48\n- V5: a 347\n  - so\n'],
    ['an item with code in it', '- V4: a 3‸48\n- V5: a 347\n\n      code\n- V6: a 1\n'],
    ['a quote', '> - V4: a 3‸48\n> - V5: a 347\n'],
    ['no readings', '- R4: 3‸48\n- R5: 347\n'],
  ])('is not made where it would lose something: %s', async (_, list) => {
    expect(await offered(moveToTable, list)).toBe('');
  });
});
