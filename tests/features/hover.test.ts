/** What a technician reads when pointing at a part, a point or a question. */
import { describe, expect, it } from 'vitest';
import { checkHover } from '../support/features.ts';

const CHASSIS = {
  '../chassis/larch.tagstrip.md': `---
sheet: chassis
---

- V6 = 6V6GT
- R18 = 270R 5W wirewound, V6.k to gnd
- V6: a 320 V
`,
};
const HOT = (marked: string) => `---
chassis: ../chassis/larch.tagstrip.md
---

## As found
${marked}

## As left
- V6: a 331, g2 322, k 12.1
`;

describe('a valve', () => {
  it('has a true minus before its bias', async () => {
    const said = await checkHover(
      '- R18 = 270R 5W, V6.k to gnd\n- V6 = 6V6GT\n- V‸6: a 347, g -0.5, k 19.4\n',
      {
        emoji: false,
      },
    );
    expect(said).toContain('bias −19.9 V\n    Vg − Vk = −500 mV − 19.4 V');
    expect(said).not.toMatch(/-\d/);
  });

  it('is answered with the verdict, what it rests on, and the formula with its numbers', async () => {
    expect(
      await checkHover(HOT('- V‸6: a 347, k 24.6'), { others: CHASSIS, emoji: false }),
    ).toMatchInlineSnapshot(`
      "⟦V6⟧
      V6 26.2 to 28.1 W, 226 % of 12 W (design-centre); as left 12.7 to 13.7 W
      6V6GT; from V6.a 347 V, V6.k 24.6 V, read on line 6; R18 270 Ω, chassis sheet; screen share 4.32 to 10.9 %, assumed
        anode dissipation 26.2 to 28.1 W, 226 % of 12 W (6V6GT, design-centre: 6V6 data, 12 W and later 14 W)
          (Va − Vk) · Ik · (1 − s) = (347 V − 24.6 V) · 91.1 mA · (1 − (4.32 to 10.9 %))
          (assumed: screen share 4.3–10.9 % of the cathode current (6V6GT: computed from the typical points, widened by 20 % for the spread of valves (common practice, no source)))
        cathode current 91.1 mA
          Vk / Rk = 24.6 V / 270 Ω
        screen current 3.94 to 9.94 mA
          s · Ik = (4.32 to 10.9 %) · 91.1 mA
        anode current 81.2 to 87.2 mA
          Ik · (1 − s) = 91.1 mA · (1 − (4.32 to 10.9 %))"
    `);
  });

  it('is answered the same on its electrode', async () => {
    const onValve = await checkHover(HOT('- V‸6: a 347, k 24.6'), { others: CHASSIS, emoji: false });
    const onCathode = await checkHover(HOT('- V6: a 347, ‸k 24.6'), { others: CHASSIS, emoji: false });
    expect(onCathode).toBe(onValve.replace('⟦V6⟧', '⟦k⟧'));
  });

  it('is answered in prose and in a mention', async () => {
    expect(await checkHover(HOT('{V6: a 347, k 24.6} and ‸V6 glows.'), { others: CHASSIS })).toMatch(
      /^⟦V6⟧\nV6 2\d/,
    );
    expect(await checkHover(HOT('{V6: a 347, k 24.6} and {‸V6}.'), { others: CHASSIS })).toMatch(
      /^⟦V6⟧\nV6 2\d/,
    );
  });

  it('speaks for its own phase though the phase’s last set is another’s', async () => {
    const sheet = `## As found

- V5 6V6GT: a 331, 38 mA

in standby:

- B+1: 400 V

Mains {mains: 236 V}, no signal.

- B+1: 352 V

The ‸V5 glows.

## As left

- V5: a 331, 30 mA
`;
    expect((await checkHover(sheet)).split('\n')[1]).toMatch(/^V5 .* W, .*; as left /);
  });

  it('says what was assumed', async () => {
    expect(await checkHover('{‸V5 6V6GT: a 331, 60 mA}\n')).toMatchInlineSnapshot(`
      "⟦V5⟧
      V5 16.1 to 19 W, 146 % of 12 W (design-centre)
      6V6GT; from V5.a 331 V, read on line 1; V5.k 0 to 30 V, screen share 4.32 to 10.9 %, assumed
        anode dissipation 16.1 to 19 W, 146 % of 12 W (6V6GT, design-centre: 6V6 data, 12 W and later 14 W)
          (Va − Vk) · Ik · (1 − s) = (331 V − (0 to 30 V)) · 60 mA · (1 − (4.32 to 10.9 %))
          (anode to ground: cathode voltage not read)
          (assumed: cathode voltage not read, taken as 0 to 30 V)
          (assumed: screen share 4.3–10.9 % of the cathode current (6V6GT: computed from the typical points, widened by 20 % for the spread of valves (common practice, no source)))
        cathode current 60 mA
        screen current 2.59 to 6.55 mA
          s · Ik = (4.32 to 10.9 %) · 60 mA
        anode current 53.5 to 57.4 mA
          Ik · (1 − s) = 60 mA · (1 − (4.32 to 10.9 %))"
    `);
  });
});

describe('a resistor', () => {
  it('is answered with what it dissipates of its rating', async () => {
    expect(await checkHover('{R‸17 = 470R 1W, V5.k to gnd} {V5.k: 19.4 V}\n')).toMatchInlineSnapshot(`
      "⟦R17⟧
      R17 0.801 W, 80.1 % of 1 W (rating, 70 °C around it)
      470 Ω 1 W, cathode resistor of V5; from V5.k 19.4 V, read on line 1
        dissipation 0.801 W, 80.1 % of 1 W (power rating of R17, at 70 °C around it)
          V² / R = (19.4 V)² / 470 Ω
        drop 19.4 V
          |V1 − V2| = |19.4 V − 0 V|
        current 41.3 mA
          V / R = 19.4 V / 470 Ω"
    `);
  });

  it('without readings is only described', async () => {
    expect(await checkHover('{R‸17 = 470R 5W wirewound, V5.k to gnd}\n')).toMatchInlineSnapshot(`
      "⟦R17⟧
      R17 470 Ω 5 W wirewound, cathode resistor of V5"
    `);
  });

  it('that lacks one connection is offered the likeliest', async () => {
    expect(await checkHover('{V5 6V6GT: a 331, k 19.4}\n\n{R‸18 = 270R 5W}\n')).toMatchInlineSnapshot(`
      "⟦R18⟧
      R18 270 Ω 5 W
      Where R18 is connected is not written. “V5.k to gnd” would give the cathode current: V5 has 19.4 V at the cathode, which through R18 makes a usual current. (Write “V5.k to gnd” behind R18)"
    `);
  });
});

describe('a point', () => {
  it('is answered with its volts in every phase', async () => {
    expect(
      await checkHover(
        '## As found\n{‸B+1: 352 V}\n\n## Work\n{C1 -> 47uF 500V}\n\n## As left\n{B+1: 349.5 V}\n',
      ),
    ).toMatchInlineSnapshot(`
      "⟦B+1⟧
      B+1 352 V, as found; as left 349.5 V"
    `);
  });

  it('read powered down says so and makes no verdict', async () => {
    expect(
      await checkHover('## Work\n- discharged: ‸B+1: 4 V\n\n## As left\n{B+1: 349.5 V}\n', { emoji: false }),
    ).toMatchInlineSnapshot(`
      "⟦B+1⟧
      B+1 4 V, during the work, powered down"
    `);
  });

  it('read on the lamp is not taken for normal running', async () => {
    expect(
      await checkHover(
        '## As found\nlamp 60 W:\n\n- ‸B+1: 241 V\n\nMains {mains: 236 V}, no signal.\n\n- B+1: 330 V\n',
        {
          emoji: false,
        },
      ),
    ).toMatchInlineSnapshot(`
      "⟦B+1⟧
      B+1 241 V, as found, on the lamp or variac"
    `);
  });
});

describe('a question', () => {
  it('is answered', async () => {
    expect(await checkHover('{R17 = 470R} {V5.k: 19.4 V} {‸? V5.k / R17}\n')).toMatchInlineSnapshot(`
      "⟦{? V5.k / R17}⟧
      V5.k / R17 = 41.3 mA
      from V5.k 19.4 V, read on line 1; R17 470 Ω, line 1
        answer 41.3 mA
          V5.k / R17 = 19.4 V / 470 Ω"
    `);
  });

  it('without an answer says why', async () => {
    expect(await checkHover('{R17 = 470R} {‸? V5.k / R17}\n')).toMatchInlineSnapshot(`
      "⟦{? V5.k / R17}⟧
      V5.k / R17: no answer, because nothing was read at V5.k in this set"
    `);
  });
});

describe('several readings in one item', () => {
  const item = '- plug out: B+1: 4 V, B+2: 2 V\n';
  it.each([
    ['plug‸ out', 'nothing'],
    ['B+‸1', '⟦B+1⟧'],
    ['B+‸2', '⟦B+2⟧'],
  ])('%s is %s', async (marked, wanted) => {
    const text = item.replace(marked.replace('‸', ''), marked);
    expect((await checkHover(text, { emoji: false })).split('\n')[0]).toBe(wanted);
  });
});

describe('nothing is said', () => {
  it.each([
    ['in prose', 'The ‸amplifier hums.\n'],
    ['of a look-alike that nobody declared', 'The ‸R17 on the drawing.\n'],
    ['in code', '`{‸V5: a 331}`\n\n```\n{V5 6V6GT: a 331, 60 mA}\n```\n'],
    ['in front matter', '---\njob: ‸2031\n---\n\n{V5 6V6GT: a 331, 60 mA}\n'],
    ['in an empty sheet', '‸'],
  ])('%s', async (_, marked) => {
    expect(await checkHover(marked)).toBe('nothing');
  });
});

it('never promises that anything is safe', async () => {
  const said = await checkHover('{C‸1 = 47uF 450V electrolytic, B+1 to gnd} {B+1: 4 V}\n');
  expect(said).not.toMatch(/\bsafe\b/i);
});
