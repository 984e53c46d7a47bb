/** What is offered inside a tag, and that prose is left in peace. */
import { describe, expect, it } from 'vitest';
import { checkCompletion } from '../support/features.ts';

const PARTS = `
- V5 = 6V6GT
- V1A = 12AX7
- R17 = 470R 5W, V5.k to gnd
- C12 = 22n 630V film, V1A.a to tail
- VR2 = 1M log
- R4 = 100k, B+1 to V1A.a
`;
const offered = (marked: string) => checkCompletion(`${marked}\n${PARTS}`, { emoji: false });
const names = async (marked: string) =>
  (await offered(marked))
    .split('\n')
    .slice(1)
    .map((line) => line.replace(/ \(.*$/, ''));

describe('offered in a tag', () => {
  it('are parts with what they are, then points', async () => {
    expect(await offered('{‸')).toMatchInlineSnapshot(`
      "⟦⟧
      V5 (part: 6V6GT)
      V1A (part: 12AX7)
      R17 (part: 470 Ω 5 W, cathode resistor of V5)
      C12 (part: 22 nF 630 V film)
      VR2 (part: 1 MΩ log)
      R4 (part: 100 kΩ, anode load of V1A)
      B+1 (point)
      gnd (point)
      tail (point)
      mains (point)
      bias (point)
      heaters (point)"
    `);
  });

  it('are only those that begin as written, which is what is replaced', async () => {
    expect(await offered('It is {R1‸')).toBe('⟦R1⟧\nR17 (part: 470 Ω 5 W, cathode resistor of V5)');
    expect(await offered('{r1‸')).toContain('R17');
    expect(await names('{B+‸')).toEqual(['B+1']);
    expect(await names('{R17 = 470R 5W, V5.k to t‸')).toEqual(['tail']);
  });

  it('are electrodes with their pins', async () => {
    expect(await offered('{V5.‸')).toMatchInlineSnapshot(`
      "⟦⟧
      a (electrode: pin 3)
      g (electrode: pin 5)
      g2 (electrode: pin 4)
      k (electrode: pin 8)"
    `);
    expect(await names('{VR2.‸')).toEqual(['3', '2', '1', 'wiper']);
    expect(await names('{V5: ‸')).toEqual(await names('{V5.‸'));
    expect(await names('{V5: a 331, ‸')).toContain('g2');
  });

  it('are valve types behind =', async () => {
    expect(await names('{V6 = 6V6‸')).toContain('6V6GT');
    expect(await names('- V6 = EL8‸')).toContain('EL84');
    expect(await names('{V6 -> ‸')).toContain('12AX7');
  });

  it('are units behind a number, by what the part is', async () => {
    expect(await names('{R20 = 470‸')).toEqual(['R', 'k', 'M', 'W', 'V']);
    expect(await names('{C20 = 22‸')).toEqual(['uF', 'nF', 'pF', 'V']);
    expect(await names('{C20 = 22n‸')).toEqual(['nF']);
    expect(await names('{B+1: 331 ‸')).toEqual([]);
    expect(await names('{B+1: 331‸')).toContain('Vpp');
  });

  it('are kinds behind a value', async () => {
    expect(await names('{R20 = 470R 5W w‸')).toEqual(['wirewound']);
    expect(await names('{C20 = 22n 630V ‸')).toContain('film');
    expect(await names('{C12 -> r‸')).toContain('removed');
  });

  it('are the names of a question, where signs part words', async () => {
    expect(await names('{? (B+1 - V5.k) / R1‸')).toEqual(['R17']);
    expect(await names('{? V5.k/R1‸')).toEqual(['R17']);
    expect(await names('{? 3-B+‸')).toEqual(['B+1']);
  });

  it('are rules behind accept, then subjects', async () => {
    expect(await names('{accept anode-over-d‸')).toEqual(['anode-over-dissipation']);
    expect(await names('{accept anode-over-dissipation V‸')).toEqual(['V5', 'V1A', 'VR2']);
    expect(await names('{keep C‸')).toEqual(['C12']);
  });

  it('are found in a tag that wraps over a line', async () => {
    expect(await names('So the part {R20 = 470R 5W,\nV5.k to R1‸')).toEqual(['R17']);
  });

  it('are the same in a list item that opens as a tag', async () => {
    expect(await names('- V5: ‸')).toContain('g2');
    expect(await names('- R17‸')).toEqual(['R17']);
    expect(await names('- [x] C14 lifted: V5: ‸')).toContain('g2');
    expect(await names('- R20 = 1k, V5.k to R1‸')).toEqual(['R17']);
  });
});

describe('nothing is offered', () => {
  it.each([
    ['in prose', 'The R1‸'],
    ['at the start of a sentence in a list', '- V‸'],
    ['in a list item of prose', '- The glow of V5 is in R1‸'],
    ['in a list item of prose that begins with a ref', '- V5 glows near R1‸'],
    ['behind a closed tag', '{V5} and R1‸'],
    ['behind an escaped brace', '\\{R1‸'],
    ['in code', 'as `{R1‸'],
    ['in arithmetic of a page', 'where $x_{R1‸'],
    ['in a table’s prose', '| Ref | What |\n| --- | --- |\n| R17 | near R1‸'],
    ['where a number is written', '- V5: a ‸'],
  ])('%s', async (_, marked) => {
    expect(await offered(marked)).toBe('nothing');
  });

  it.each([
    ['in fenced code', '```\n{R1‸\n```\n'],
    ['in front matter', '---\ntitle: {R1‸\n---\n'],
  ])('%s', async (_, marked) => {
    expect(await checkCompletion(marked + PARTS, { emoji: false })).toBe('nothing');
  });
});
