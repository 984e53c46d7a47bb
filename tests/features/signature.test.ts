/** What the whole of a tag is like while it is being written, and which piece of it is next. */
import { describe, expect, it } from 'vitest';
import { signature } from '../../server/features/signature.ts';
import { askAll } from '../support/navigation.ts';

/** The form with the piece that the caret is on in brackets, and what is said of it. */
const check = (marked: string) =>
  askAll(`${marked}\n\n- V5 = 6V6GT\n- V1A = 12AX7\n- V1A.a = V1.6\n`, ({ analysis, offset }) => {
    const found = signature(analysis, offset);
    if (found === undefined) return 'nothing';
    const { label, parameters, active } = found;
    const piece = parameters[active];
    if (piece === undefined) throw new Error('no piece is active');
    const { start, end } = piece.at;
    return `${label.slice(0, start)}⟦${label.slice(start, end)}⟧${label.slice(end)} (${piece.about})`;
  });
const form = async (marked: string) => (await check(marked)).replace(/ \([^()]*(?:\([^()]*\)[^()]*)*\)$/, '');

describe('fitting', () => {
  it('a resistor: value, rating, kind, connection', async () => {
    expect(await check('{R17 = ‸')).toBe('R17 = ⟦value⟧ rating kind, X to Y (470R, 4k7, 1M)');
    expect(await form('{R17 = 47‸')).toBe('R17 = ⟦value⟧ rating kind, X to Y');
    expect(await form('{R17 = 470R ‸')).toBe('R17 = value ⟦rating⟧ kind, X to Y');
    expect(await form('{R17 = 470R 5W w‸')).toBe('R17 = value rating ⟦kind⟧, X to Y');
    expect(await form('{R17 = 470R 5W wirewound, ‸')).toBe('R17 = value rating kind, ⟦X to Y⟧');
    expect(await form('{R17 = 470R, 5‸')).toBe('R17 = value ⟦rating⟧ kind, X to Y');
    expect(await form('- R17 = 0,47R ‸')).toBe('R17 = value ⟦rating⟧ kind, X to Y');
  });

  it('a valve: its type, then electrode by electrode', async () => {
    expect(await form('{V1A = ‸')).toBe('V1A = ⟦type⟧, a …, g …, g2 …, k …');
    expect(await form('{V1A = 12AX7, ‸')).toBe('V1A = type, ⟦a …⟧, g …, g2 …, k …');
    expect(await form('{V1A = 12AX7, a R4 B+3, k R‸')).toBe('V1A = type, a …, g …, g2 …, ⟦k …⟧');
  });

  it.each([
    '{C12 = ‸',
    '{VR1 = 1M log, ‸',
    '{T2 = ‸',
    '{L1 = 10H ‸',
    '{D1, D2 = 1N4007, ‸',
    '{F1 = ‸',
    '{LS1 = 8R ‸',
    '{TK1 = ‸',
  ])('%s', async (marked) => {
    expect(await check(marked)).toMatchSnapshot();
  });

  it('a change: was, is', async () => {
    expect(await form('{C12 = 10uF 25V -> ‸')).toBe('C12 = was -> ⟦is⟧, X to Y');
    expect(await form('{C12 -> 1uF 50V film, ‸')).toBe('C12 = was -> is, ⟦X to Y⟧');
  });
});

describe('reading', () => {
  it('a valve by the electrodes that it has', async () => {
    expect(await check('{V5: ‸')).toBe('V5: ⟦a volts⟧, g2 volts, g volts, k volts, mA (anode volts to gnd)');
    expect(await form('{V5: a 331, ‸')).toBe('V5: a volts, ⟦g2 volts⟧, g volts, k volts, mA');
    expect(await form('- V5: a 331, k 19‸')).toBe('V5: a volts, g2 volts, g volts, ⟦k volts⟧, mA');
    expect(await form('{V5: a 331, 38‸')).toBe('V5: a volts, g2 volts, g volts, k volts, ⟦mA⟧');
    expect(await form('{V1A: a 160, ‸')).toBe('V1A: a volts, ⟦g volts⟧, k volts, mA');
  });

  it.each([
    '{V5.a: ‸',
    '{B+1: ‸',
    '{V5.a to B+1: ‸',
    '{R17: ‸',
    '{C1: 31uF ‸',
    '{VR2: ‸',
    '{T2: ‸',
    '{LS1: 11.2 Vrms at ‸',
  ])('%s', async (marked) => {
    expect(await check(marked)).toMatchSnapshot();
  });
});

it('asking, accepting and keeping', async () => {
  expect(await form('{? (B+1 - ‸')).toBe('? ⟦arithmetic⟧');
  expect(await form('{accept ‸')).toBe('accept ⟦rule⟧ parts: reason');
  expect(await form('{accept screen-over-voltage V‸')).toBe('accept rule ⟦parts⟧: reason');
  expect(await form('{accept screen-over-voltage V5: m‸')).toBe('accept rule parts: ⟦reason⟧');
  expect(await form('{keep C41: ‸')).toBe('keep parts: ⟦reason⟧');
});

it.each(['The mains: ‸', '{R17} = ‸', '`{R17 = ‸', '- Note: ‸', '{‸', '{R1‸'])(
  'nothing for %s',
  async (marked) => {
    expect(await check(marked)).toBe('nothing');
  },
);
