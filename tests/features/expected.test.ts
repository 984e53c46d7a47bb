/** What a technician reads of expected values: clearly the solver's, beside what was read or where nothing was. */
import { describe, expect, it } from 'vitest';
import { hover } from '../../server/features/hover.ts';
import { analyseSample, textOfSample } from '../summary/samples.ts';
import { analyse } from '../support/check.ts';
import { checkHover } from '../support/features.ts';

const STAGE = `## As found
- V1A = 12AX7, a R4 B+1, k R3, g R2
- R4 = 100k 1W
- R3 = 1k5
- R2 = 1M 0.5W, V1A.g to gnd
- B+1: 250 V
`;

function expectedOf(said: string): readonly string[] {
  return said.split('\n').filter((line) => / expected /.test(line));
}

describe('an expected value', () => {
  it('of a point that was not read says whose it is and on what it stands', async () => {
    const said = await checkHover(`${STAGE}\nThe anode {‸V1A.a} next.\n`, { emoji: false });
    expect(said).toMatchInlineSnapshot(`
      "⟦V1A.a⟧
      V1A 12AX7
      V1A.a expected 162 V (by the solver, from B+1 as read; band 158 to 166 V)
        gain 31.8
          µ · Ra / (ra + Ra + (µ + 1) · Rk) = 100 · 100 kΩ / (62.5 kΩ + 100 kΩ + (100 + 1) · 1.5 kΩ)
        gain 30.1 dB
          20 · log10(A) = 20 · log10(31.8)
        output impedance 68.2 kΩ
          (Ra ∥ (ra + (µ + 1) · Rk)) = (100 kΩ ∥ (62.5 kΩ + (100 + 1) · 1.5 kΩ))
        input impedance 1 MΩ
      (12AX7 by its computed fit, anode current to ±5 %)"
    `);
  });

  it('stands beside a reading and does not touch it', async () => {
    const said = await checkHover(`${STAGE}- V1A: ‸a 131 V, k 1.32 V\n`, { emoji: false });
    const [line = ''] = expectedOf(said);
    expect(line).toMatch(/^V1A\.a expected 162 V \(by the solver, from B\+1 as read; band \S+ to \S+ V\)$/);
    expect(said.replace(line, '')).toContain('V1A.a 131 V');
    expect(said.split('\n')[1]).not.toContain('expected');
  });

  it('of a valve is its cathode current, section by section', async () => {
    expect(
      expectedOf(await checkHover(`${STAGE}\nIs {‸V1A} tired?\n`, { emoji: false })),
    ).toMatchInlineSnapshot(`
      [
        "V1A expected cathode current 878 µA (by the solver, from B+1 as read; band 837 to 920 µA)",
      ]
    `);
  });

  it('is not given for a rail that the solver itself stands on', async () => {
    const said = await checkHover(`${STAGE}\nAgain {‸B+1}.\n`, { emoji: false });
    expect(said.split('\n')[1]).toBe('B+1 250 V, as found');
    expect(expectedOf(said)).toEqual([]);
  });

  it('is not given where nothing can be known', async () => {
    expect(await checkHover('## As found\n- R4 = 100k\n\nThe {‸V1A.a}.\n', { emoji: false })).toBe('nothing');
    expect(expectedOf(await checkHover(`${STAGE}\nThe {‸R4}.\n`, { emoji: false }))).toEqual([]);
  });
});

describe('in the sample sheets', () => {
  const path = 'jobs/2052-larch-20-tone.tagstrip.md';

  it('a rail that was read in both phases is told as read, and apart from that as expected at the mains of its phase', async () => {
    const analysis = await analyseSample(path);
    const said = hover(analysis, textOfSample(path).indexOf('B+2   |'));
    expect(said?.headline.replaceAll('\u00a0', ' ')).toMatch(/^B\+2 330\.9 V, as left; .*as found 328 V/);
    expect(said?.asides.map(({ lines }) => lines.join('\n').replaceAll('\u00a0', ' '))).toEqual([
      expect.stringMatching(
        /^B\+2 expected 33\d V \(by the solver, from T1 at 230 V mains, its source resistance assumed; band \d+ to \d+ V\)$/,
      ),
    ]);
  });

  it('a point that nobody read is told at the mains of the phase', async () => {
    const text = textOfSample(path).replace(
      '- earth to chassis: 0.1R\n\n## Owner',
      '- earth to chassis: 0.1R\n\n{V2A.a} was not read.\n\n## Owner',
    );
    const analysis = await analyse(text, {
      '../chassis/larch-20.b.tagstrip.md': textOfSample('chassis/larch-20.b.tagstrip.md'),
    });
    const said = hover(analysis, text.indexOf('V2A.a'));
    expect(said?.asides[0]?.lines[0]?.replaceAll('\u00a0', ' ')).toMatch(
      /^V2A\.a expected \d+ V \(by the solver, from T1 at 230 V mains/,
    );
  });
});
