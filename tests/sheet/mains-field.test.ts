/** Several mains voltages in the front matter, and the taps of a primary. */
import { describe, expect, it } from 'vitest';
import { readItem } from '../../server/dialect/tag.ts';
import { mainsVoltsIn } from '../../server/sheet/mains-field.ts';
import { analyse } from '../support/check.ts';

describe('the mains of the front matter', () => {
  it.each([
    ['230 V 50 Hz', [230]],
    ['120', [120]],
    ['100/120/230/240 V 50/60 Hz', [100, 120, 230, 240]],
    ['115 or 230 V', [115, 230]],
    ['220-240V, 50 Hz, 60 W', [220, 240]],
  ])('%s', (written, volts) => {
    expect(mainsVoltsIn(written)).toEqual(volts);
  });

  it('is asked for where it names several, and is none of them until then', async () => {
    const sheet = (mains: string) =>
      `---\nmains: ${mains}\n---\n# Sparrow 5\n\n## As found\n\nMains {mains: 238 V}, 15 min.\n\n- B+: 262 V\n`;
    const { findings, sheet: read } = await analyse(sheet('100/120/230/240 V 50/60 Hz'));
    expect(findings.map(({ severity, rule, subject }) => `${severity} ${rule} ${subject}`)).toEqual([
      'info value-ambiguous 100/120/230/240 V 50/60 Hz',
    ]);
    expect(read.problems.map(({ offers }) => offers.map(({ edit }) => edit.text))).toEqual([
      ['100 V 50 Hz', '120 V 60 Hz', '230 V 50 Hz', '240 V 50 Hz'],
    ]);
    expect((await analyse(sheet('230 V 50 Hz'))).findings).toEqual([]);
    // Of the one that is written more can be said.
    expect((await analyse(sheet('120 V 60 Hz'))).findings.map(({ rule }) => rule)).toEqual(['mains-tap']);
  });
});

describe('mains volts at the front of a transformer', () => {
  const sides = (item: string) => {
    const tag = readItem(item, { start: 0, end: item.length })?.tag;
    return tag?.kind === 'fitted'
      ? tag.specification?.windings.map(({ side }) => side.slice(0, 3)).join(' ')
      : undefined;
  };

  it.each([
    ['T1 = mains 100V 120V 230V 240V 250-0-250V 80mA 6.3V 2A', 'pri pri pri pri sec sec'],
    ['T1 = mains 120V 230V 300V 150mA 6.3V 4A', 'pri pri sec sec'],
    ['T1 = mains 230V 250-0-250V 80mA 6.3V', 'pri sec sec'],
    ['T1 = mains 345V 300mA 6.3V 6A 45V 50mA', 'sec sec sec'],
    ['T1 = mains 240V 6.3V', 'sec sec'],
    ['T1 = mains 230V 100mA 250V 6.3V', 'sec sec sec'],
    ['T1 = mains 290-0-290V 150mA 6.3V 4A 5V 2A', 'sec sec sec'],
  ])('%s', (item, found) => {
    expect(sides(item)).toBe(found);
  });
});
