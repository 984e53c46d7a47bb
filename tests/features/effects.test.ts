import { describe, expect, it } from 'vitest';
import { hover } from '../../server/features/hover.ts';
import { analyseSample, textOfSample } from '../summary/samples.ts';
import { checkHover } from '../support/features.ts';

const STAGE = `## As found
- V1A = 12AX7, a R4 B+1, k R3, g R2
- R4 = 100k 1W
- R3 = 1k5
- R2 = 1M 0.5W, V1A.g to gnd
- V1B = 12AX7
- R9 = 1M, V1B.g to gnd
- C2 = 25uF 25V, across R3
- C3 = 22n 630V, V1A.a to V1B.g
- B+1: 250 V
- V1A: a 163 V, g 0 V, k 1.32 V

## Work
`;

/** The lines of a hover that tell of an effect. */
function effectOf(said: string): readonly string[] {
  return said.split('\n').filter((line) => /^(?:DC(?:, expected)?: |AC: |\(Held constant: )/.test(line));
}

describe('a change', () => {
  it('of a coupling capacitor tells of the corner and the levels', async () => {
    const said = await checkHover(`${STAGE}{C3 = 22n 630V ->‸ 4n7 630V}\n`, { emoji: false });
    expect(effectOf(said)).toMatchInlineSnapshot(`
      [
        "AC: corner 6.97 → 32.6 Hz; level from V1A.g to V1B.g moved: 82 Hz −0.6 dB, 400 Hz 0 dB, 1 kHz 0 dB, 5 kHz 0 dB",
        "(Held constant: every other part as it is after the work; capacitances of valves and wiring left out; V1A at the catalogue’s typical point)",
      ]
    `);
  });

  it('of a bypass tells of its shelf, and of the voltage margin as it was read', async () => {
    const said = await checkHover(`${STAGE}- C2 = 25uF 25V -> ‸1uF 50V film\n`, { emoji: false });
    expect(effectOf(said)).toMatchInlineSnapshot(`
      [
        "DC: voltage margin 94.7 → 97.4 %",
        "AC: shelf 4.24 to 8.44 → 106 to 211 Hz; level from V1A.g to V1B.g moved: 82 Hz −4.5 dB, 400 Hz −0.8 dB, 1 kHz −0.1 dB, 5 kHz 0 dB",
        "(Held constant: every other part as it is after the work; capacitances of valves and wiring left out; volts as they were read, as found; V1A at the catalogue’s typical point)",
      ]
    `);
  });

  it('of a cathode resistor tells of bias and dissipation by average valves, marked as expected', async () => {
    const said = await checkHover(`${STAGE}- R3 = 1k5 -> ‸820R\n`, { emoji: false });
    expect(effectOf(said)).toMatchInlineSnapshot(`
      [
        "DC, expected: V1A bias −1.32 V → −927 mV; R3 dissipation 1.16 → 1.05 mW; R3 current 878 µA → 1.13 mA",
        "AC: C2 shelf 4.24 to 8.44 → 7.76 to 12 Hz; C2 step 5.97 → 3.75 dB; level from V1A.g to V1B.g the same at 82 Hz, 400 Hz, 1 kHz, 5 kHz",
        "(Held constant: every other part as it is after the work; capacitances of valves and wiring left out; average new valves, solved and not read; V1A at the catalogue’s typical point)",
      ]
    `);
  });

  it('of a rating tells of each share beside its own limit', async () => {
    const said = await checkHover(`${STAGE}- R4 = 100k 1W -> ‸100k 0.5W\n`, { emoji: false });
    expect(effectOf(said)).toEqual([
      'DC: share of its rated watts 7.57 % of 1 W → 15.1 % of 0.5 W',
      '(Held constant: every other part as it is after the work; volts as they were read, as found)',
    ]);
  });

  it('in a changes table tells the same in every cell of its row', async () => {
    const row = (cells: string) => `${STAGE}\n| Ref | Was | Now |\n| --- | --- | --- |\n| ${cells} |\n`;
    const said = await Promise.all(
      ['‸C3 | 22n 630V | 4n7 630V', 'C3 | 22‸n 630V | 4n7 630V', 'C3 | 22n 630V | 4n7‸ 630V'].map((cells) =>
        checkHover(row(cells), { emoji: false }),
      ),
    );
    expect(effectOf(said[0] ?? '').length).toBe(2);
    expect(new Set(said.map((each) => effectOf(each).join('\n'))).size).toBe(1);
  });

  it('that takes a part out is told though the part is gone', async () => {
    const said = await checkHover(`${STAGE}- ‸C2 = 25uF 25V -> removed\n`, { emoji: false });
    expect(said.split('\n')[1]).toMatch(/^C2 full gain above .*, as found$/);
    expect(effectOf(said).join('\n')).toMatch(/^AC: shelf 4\.24 to 8\.44 Hz → none/m);
    const spare = await checkHover(`${STAGE}- ‸C9 = 22n 400V -> removed\n`, { emoji: false });
    expect(spare.split('\n')[1]).toBe('C9 22 nF 400 V, taken out');
  });

  it('of which nothing is known says nothing of an effect', async () => {
    for (const change of ['C9 = 22n ‸-> 10n', 'R3 = 1k5 ‸-> 1k5', 'V1 -> ‸removed', 'C3 ‸-> resoldered'])
      expect(effectOf(await checkHover(`${STAGE}{${change}}\n`, { emoji: false }))).toEqual([]);
  });

  it('is told only on a change', async () => {
    const said = await checkHover(`${STAGE}{C3 = 22n 630V -> 4n7 630V} and ‸C3 again\n`, { emoji: false });
    expect(said).toContain('⟦C3⟧');
    expect(effectOf(said)).toEqual([]);
  });
});

describe('what was found fitted against the chassis sheet', () => {
  const CHASSIS = `---
sheet: chassis
model: Ash
mains: 230 V 50 Hz
---
# Ash
- V1A = 12AX7, a R4 B+3, k R5, g R6
- R4 = 100k
- R5 = 1k5
- R6, R7 = 1M
- V1B = 12AX7, g R7
- C5 = 25uF 25V, across R5
- C7 = 22n 630V, V1A.a to V1B.g
`;
  const found = (line: string) =>
    checkHover(`---\nchassis: ash.tagstrip.md\n---\n# Job\n\n## As found\n\n- ${line}\n- B+3: 278 V\n`, {
      emoji: false,
      others: { 'ash.tagstrip.md': CHASSIS },
    });
  it('tells its effect as a change does', async () => {
    expect(effectOf(await found('R5 =‸ 820R'))).toMatchInlineSnapshot(`
      [
        "DC, expected: V1A bias −1.45 → −1.02 V; R5 dissipation 1.4 → 1.27 mW; R5 current 966 µA → 1.24 mA",
        "AC: C5 shelf 4.24 to 8.44 → 7.76 to 12 Hz; C5 step 5.97 → 3.75 dB; level from V1A.g to V1B.g the same at 82 Hz, 400 Hz, 1 kHz, 5 kHz",
        "(Held constant: every other part as found; capacitances of valves and wiring left out; average new valves, solved and not read; V1A at the catalogue’s typical point)",
      ]
    `);
    expect(effectOf(await found('C5 =‸ 1uF 50V film'))).toMatchInlineSnapshot(`
      [
        "DC, expected: voltage margin 94.2 → 97.1 %",
        "AC: shelf 4.24 to 8.44 → 106 to 211 Hz; level from V1A.g to V1B.g moved: 82 Hz −4.5 dB, 400 Hz −0.8 dB, 1 kHz −0.1 dB, 5 kHz 0 dB",
        "(Held constant: every other part as found; capacitances of valves and wiring left out; average new valves, solved and not read; V1A at the catalogue’s typical point)",
      ]
    `);
  });
  it('and none where it is what the chassis sheet has', async () => {
    expect(effectOf(await found('C7 =‸ 22n 630V'))).toEqual([]);
    expect(effectOf(await found('R5 =‸ 1k5'))).toEqual([]);
  });
});

describe('in the sample sheets', () => {
  it('a change before this visit is told where it was found', async () => {
    const analysis = await analyseSample('jobs/2052-larch-20-tone.tagstrip.md');
    const at = textOfSample('jobs/2052-larch-20-tone.tagstrip.md').indexOf('C15, C16');
    const [aside] = hover(analysis, at)?.asides ?? [];
    expect(aside?.lines[0]?.replaceAll('\u00a0', ' ')).toBe('DC: voltage margin 63.8 → 8.8 %');
  });
});
