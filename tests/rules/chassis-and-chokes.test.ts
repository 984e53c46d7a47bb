/** A chassis sheet's own voltages are judged on it, and a choke is no resistor that lacks its watts. */
import { describe, expect, it } from 'vitest';
import { analyse, findingsOf } from '../support/check.ts';

const CHASSIS = `---
sheet: chassis
model: Larch 20
---
# Larch 20

- V5 = 6V6GT
- R18 = 470R 5W, V5.k to gnd

## Voltages

- V5: a 345, g2 270, k 18
`;

describe('the voltages of a chassis sheet', () => {
  it('are judged there: 327 V from anode to cathode where 315 V are allowed', async () => {
    expect(await findingsOf(CHASSIS)).toContain('warning anode-over-voltage V5 factory "345"');
  });

  it('and a job that reads no worse says nothing of them', async () => {
    const job =
      '---\nchassis: ../chassis/larch.tagstrip.md\n---\n# Job\n\n## As found\n\n- V5: a 346, g2 270, k 18\n';
    const said = await findingsOf(job, { '../chassis/larch.tagstrip.md': CHASSIS });
    expect(said.filter((line) => line.includes('anode-over-voltage'))).toEqual([]);
  });
});

describe('a choke', () => {
  it('is asked for no power rating: nobody marks one', async () => {
    const sheet =
      '# Job\n\n## As found\n\n- L1 = 10H 250R, B+1 to B+2\n- C2 = 32uF 500V, B+2 to gnd\n- B+1: 318 V\n- B+2: 297 V\n';
    expect((await findingsOf(sheet)).filter((line) => line.includes('resistor-over-dissipation'))).toEqual(
      [],
    );
  });

  it('while a resistor in its place is', async () => {
    const sheet = '# Job\n\n## As found\n\n- R1 = 250R, B+1 to B+2\n- B+1: 318 V\n- B+2: 297 V\n';
    expect(await findingsOf(sheet)).toContain('info resistor-over-dissipation R1 as-found "297 V"');
  });
});

describe('the sheet that a screen limit comes from', () => {
  it('is named once', async () => {
    const { findings } = await analyse(
      '# Job\n\n## As found\n\n- V5 = 6V6GT\n- R18 = 470R 5W, V5.k to gnd\n- V5: a 300, g2 345, k 18\n',
    );
    const message = findings.find(({ rule }) => rule === 'screen-over-voltage')?.message ?? '';
    expect(message.match(/design-(?:centre|maximum)/g)).toHaveLength(1);
  });
});
