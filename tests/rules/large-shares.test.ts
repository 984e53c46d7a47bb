/** How a share, a difference and a multiple are said however large they are. */
import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { shareOf, showDeparture, showShare } from '../../server/rules/phrases.ts';
import { analyse } from '../support/check.ts';

const message = async (rule: string, body: string) =>
  (await analyse(`# Job\n\n## As found\n\n${body}`)).findings
    .find((finding) => finding.rule === rule)
    ?.message.replaceAll('\u00a0', ' ');

describe('a large share in a message', () => {
  it('says by how many per cent a resistor is off, though it is nearly five times its marking', async () => {
    const body = '- R4 = 100k 0.5W carbon, B+3 to V1A.a\n- R4: 489k (out of circuit)\n';
    expect(await message('value-out-of-tolerance', body)).toContain(
      'R4 reads 489 kΩ, +389 % from its marking 100 kΩ',
    );
  });
  it('says how many times the allowed reservoir is fitted', async () => {
    const body =
      '- T1 = mains 290-0-290V 120mA 6.3V 3A 5V 2A\n- V9 = 5Y3GT, T1 to B+1\n- C21 = 100uF 500V electrolytic, B+1 to gnd\n';
    expect(await message('reservoir-over-limit', body)).toContain('5 times the 20 µF that 5Y3GT allows');
  });
  it('keeps per cent for a difference and turns to times for a large share', () => {
    const said = [showShare(3.89), showDeparture(3.89), showDeparture(-0.18), shareOf(1.16), shareOf(5)];
    expect(said.map((each) => each.replaceAll('\u00a0', ' '))).toEqual([
      '389 %',
      '+389 %',
      '−18 %',
      '116 % of',
      '5 times',
    ]);
  });
  it('is left to these words by every rule', () => {
    const folder = new URL('../../server/rules/', import.meta.url);
    const others = readdirSync(folder).filter((file) => {
      if (!file.endsWith('.ts') || file === 'phrases.ts') return false;
      const text = readFileSync(new URL(file, folder), 'utf8');
      return /showValue\([^;]*?, '1'\)|\bshow\([^;]*?unit: '1'[^;]*?\)\}|show\((?:\w+\.)*share(?:\.quantity)?\)/.test(
        text,
      );
    });
    expect(others).toEqual([]);
  });
});
