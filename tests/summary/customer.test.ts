/** Holds what an owner is told: the Owner text word for word, parts in plain words, that it was measured; nothing else leaves the shop. */
import { describe, expect, it } from 'vitest';
import { renderHtml } from '../../server/summary/html.ts';
import { analyse } from '../support/check.ts';
import { sectionOf, textOf } from './page.ts';
import { analyseSample, SAMPLES } from './samples.ts';

async function pageOf(sheet: string): Promise<string> {
  return renderHtml(await analyse(sheet), { reader: 'customer' });
}

const JOB = `---
job: 2031
serial: 0412
charge: 95
warranty: six months on parts
limit: 200
---
# Larch 20, the one that always comes back

## Complaint

Hums; he has been at it with a screwdriver.

## As found

Mains {mains: 236 V}, dummy load, twenty minutes warm.

- C21 = 47uF 450V electrolytic, B+1 to gnd
- V9 = GZ34, T1 to B+1
- T1 = mains 290-0-290V 150mA
- B+1: 352 V, 19 Vpp
- {R31: charred}

The owner's own work is dreadful.

## Work

- C21 = 47uF 450V electrolytic -> 47uF 500V electrolytic (the cheap one)
- R40 -> removed
- [ ] C22 = 10uF 450V -> 22uF 450V

## As left

Mains {mains: 234 V}, dummy load, twenty minutes warm.

- B+1: 349 V, 11 Vpp
- earth to chassis: 0.1R

## Owner

The main smoothing capacitor had dried out. It is new.

Please keep it *upright* <!-- he drops it -->; {C21} is tall.

## Left alone

- {R31: charred} but it measures well
- {C31}, {C32} and {C33}

{C34} looks poor, say nothing.

## Declined

New valves, he would not hear of it.

## Next time

- [ ] meter {C40} again
`;

describe('the summary for the customer', () => {
  it('gives the Owner text word for word, without marks, braces and comments', async () => {
    expect(sectionOf(await pageOf(JOB), 'What we found and did')).toBe(
      'The main smoothing capacitor had dried out. It is new. / Please keep it upright ; C21 is tall. /',
    );
  });

  it('names each part in plain words, with what it was and is, and says what it does', async () => {
    const parts = sectionOf(await pageOf(JOB), 'Parts replaced or worked on');
    expect(parts).toContain('main smoothing capacitor C21');
    expect(parts).toContain('holds the power supply steady');
    expect(parts).toContain('47 µF 450 V / 47 µF 500 V /');
    expect(parts).toContain('resistor R40');
    expect(parts).toContain('taken out');
  });

  it('says that it was measured and how, without a reading', async () => {
    const page = await pageOf(JOB);
    const checks = sectionOf(page, 'How it was tested after the work');
    expect(sectionOf(page, 'How we know')).toContain('inside the amplifier when it came in');
    expect(checks).toContain('inside the amplifier after the work');
    expect(checks).toContain('into a test load in place of the loudspeaker');
    expect(checks).toContain('hum on the power supply was measured before and after');
    expect(checks).toContain('earth pin of the mains plug to the metalwork was measured after the work');
    for (const reading of ['352', '349', '236', '234', '19 V', '11 V', '0.1'])
      expect(textOf(page)).not.toContain(reading);
  });

  it('lists what was not done by parts with a state, in a task or alone in a line, and by nothing in a sentence', async () => {
    const page = await pageOf(JOB);
    const next = sectionOf(page, 'What comes next');
    expect(next).toContain('Planned, not done yet: capacitor C22');
    const open = sectionOf(page, 'What we left and recommend');
    expect(open).toMatch(
      /Seen and left as they are: resistor R31, capacitor C31 \(passes signals or smooths a supply\), capacitor C32, capacitor C33\./,
    );
    expect(next).toContain('For next time: capacitor C40.');
    expect(textOf(page)).not.toContain('C34');
  });

  it('has the front matter that concerns an owner, and not the limit', async () => {
    const text = textOf(await pageOf(JOB));
    for (const fact of ['2031', '0412', '95', 'six months on parts']) expect(text).toContain(fact);
    expect(text).not.toContain('200');
  });

  it('lets no other prose out: not the heading, the complaint, a remark or a note to ourselves', async () => {
    const text = textOf(await pageOf(JOB));
    for (const word of [
      'comes back',
      'screwdriver',
      'dreadful',
      'cheap',
      'drops it',
      'say nothing',
      'hear of it',
      'charred',
    ])
      expect(text).not.toContain(word);
  });

  it('tells no finding: the anode that ran over its limit stays on the bench', async () => {
    const analysis = await analyseSample('jobs/2047-larch-20-hot-valve.tagstrip.md');
    expect(analysis.findings.length).toBeGreaterThan(0);
    const text = textOf(renderHtml(analysis, { reader: 'customer' }));
    for (const { message, rule } of analysis.findings) {
      expect(text).not.toContain(message);
      expect(text).not.toContain(rule);
    }
    expect(text).not.toMatch(/dissipat|design-centre|data sheet/);
  });

  it('tells paper from film where that is what changed', async () => {
    const analysis = await analyseSample('jobs/2047-larch-20-hot-valve.tagstrip.md');
    const parts = sectionOf(renderHtml(analysis, { reader: 'customer' }), 'Parts replaced or worked on');
    expect(parts).toContain('22 nF 630 V paper / 22 nF 630 V film');
  });

  it('says what a kind of part does once', async () => {
    const analysis = await analyseSample('jobs/2047-larch-20-hot-valve.tagstrip.md');
    const text = textOf(renderHtml(analysis, { reader: 'customer' }));
    expect(text.split('passes the signal from one stage to the next')).toHaveLength(2);
  });

  it('calls a valve what it is for: one drives the loudspeaker, one amplifies, one makes the supply', async () => {
    const text =
      '# X\n\n## Work\n\n- V3 = 5881 -> 5881\n- V1 = 12AX7 -> 5751\n- V5 = GZ34 -> 5AR4\n- T2 = output 6k6 : 8R, V3.a to B+1\n';
    const parts = sectionOf(await pageOf(text), 'Parts replaced or worked on');
    expect(parts).toContain('output valve V3 drives the loudspeaker / 5881 / new, same type /');
    expect(parts).toContain('valve V1 amplifies the signal / 12AX7 / 5751 /');
    expect(parts).toContain('rectifier valve V5 turns alternating into direct current for the supply /');
  });

  it('tells of a part that was looked at and left as it was that it was left, and not that it is new', async () => {
    for (const written of ['same (measured 900 Mohm)', 'unchanged']) {
      const page = await pageOf(
        `# X\n\n## Work\n\n- C9 = 22n 630V -> 47n 630V\n- C10 = 22n 630V -> ${written}\n`,
      );
      expect(sectionOf(page, 'Parts replaced or worked on')).not.toContain('C10');
      expect(textOf(page)).toContain('Seen and left as they are: capacitor C10');
    }
    const thick = textOf(
      renderHtml(await analyseSample('jobs/1932-larch-20-thick.tagstrip.md'), { reader: 'customer' }),
    );
    expect(thick).toContain('Seen and left as they are: coupling capacitor C10');
  });

  it('shows only one side of before and after where nothing was read on the other', async () => {
    const page = renderHtml(await analyseSample('jobs/2117-larch-20-waiting.tagstrip.md'), {
      reader: 'customer',
      withReadings: true,
    });
    const shown = sectionOf(page, 'Before and after');
    expect(shown).toContain('Measured / When it came in / mains voltage');
    expect(shown).not.toContain('not read');
  });

  it('glosses in the picture of before and after what is told of two valves once', async () => {
    const analysis = await analyseSample('jobs/2047-larch-20-hot-valve.tagstrip.md');
    const text = textOf(renderHtml(analysis, { reader: 'customer', withReadings: true }));
    expect(text).toContain('current of output valve V4 /');
    expect(text.split('what flows through it with no music playing')).toHaveLength(2);
  });

  for (const sample of SAMPLES)
    it(`${sample}: gives only what the sheet says of its readings: no volts, no watts, no share`, async () => {
      const analysis = await analyseSample(sample);
      const page = renderHtml(analysis, { reader: 'customer' });
      const text = textOf(page);
      for (const view of analysis.amplifier.phases)
        for (const { value } of view.readings) {
          const written = `${Number(value.quantity.value.toPrecision(6))} V`;
          if (value.quantity.value > 60 && value.quantity.unit === 'V' && !text.includes('630 V'))
            expect(sectionOf(page, 'How it was tested after the work')).not.toContain(written);
        }
      expect(text).not.toMatch(/\d\s?%|\d\s?W\b.*dissip/);
    });

  it('puts what the Owner text says under a heading of the report there, and the rest where it was', async () => {
    const page = await pageOf(
      '# X\n\n## Owner\n\nIt is mended.\n\n### What you told us\n\nIt hummed.\n\n### Was wir gelassen haben und empfehlen\n\nThe valves.\n\n### A word more\n\nThank you.\n',
    );
    expect(sectionOf(page, 'What you told us')).toBe('It hummed. /');
    expect(sectionOf(page, 'What we left and recommend')).toBe('The valves. /');
    expect(sectionOf(page, 'What we found and did')).toBe('It is mended. / A word more / Thank you. /');
  });

  it('says what the owner asked to be kept, without the note beside it', async () => {
    const analysis = await analyseSample('jobs/2052-larch-20-tone.tagstrip.md');
    const told = sectionOf(renderHtml(analysis, { reader: 'customer' }), 'What you told us');
    expect(told).toMatch(/^You asked that these stay as they are: .*VR2/);
    expect(told).not.toContain('the cut stays');
  });

  it('tells a lamp from a mains that was held back', async () => {
    const known = async (condition: string) =>
      sectionOf(
        await pageOf(`---\nmains: 230 V\n---\n# X\n\n## As found\n\n${condition}:\n\n- B+1: 140 V\n`),
        'How we know',
      );
    expect(await known('lamp 60 W')).toContain('It was also run behind a lamp that limits the current. /');
    expect(await known('variac 120 V')).toMatch(/^It was also run at a mains voltage that we held back\. \//);
  });

  it('has a section for the charge and what is covered', async () => {
    expect(sectionOf(await pageOf(JOB), 'Charge and what is covered')).toBe(
      'Charge: 95 / Warranty: six months on parts /',
    );
  });

  it('says of a sheet that is no job that there is nothing to report', async () => {
    expect(
      textOf(await pageOf('---\nsheet: chassis\nmodel: Larch 20\n---\n# Larch 20\n\nA good one.\n')),
    ).toContain('describes no job');
  });
});
