/** Small parts, fuses, the mains side and the output held against their ratings. */
import { describe, expect, it } from 'vitest';
import { fixes } from '../../server/features/fixes.ts';
import { applyEdits } from '../../server/text/edits.ts';
import { analyse } from '../support/check.ts';

const say = async (rule: string, text: string, others?: Readonly<Record<string, string>>) =>
  (await analyse(text, others)).findings
    .filter((finding) => finding.rule === rule)
    .map(({ severity, subject }) => `${severity} ${subject}`);

const message = async (rule: string, text: string) =>
  (await analyse(text)).findings.find((finding) => finding.rule === rule)?.message.replaceAll('\u00a0', ' ');

const job = (body: string) => `# Job\n\n## As found\n\n${body}`;

describe('resistor-over-voltage', () => {
  const id = 'resistor-over-voltage';
  const bleeder = (what: string, volts = 322) => job(`- R25 = ${what}, B+1 to gnd\n- B+1: ${volts} V\n`);
  it('half a kilovolt on a quarter-watt 470 k is twice its body, whatever its watts', async () => {
    expect(await say(id, bleeder('470k 0.25W carbon film', 500))).toEqual(['error R25']);
    expect(await message(id, bleeder('470k 0.25W carbon film', 500))).toMatch(/200 % of the 250 V/);
    // The watts follow from the same volts: one finding.
    expect(await say('resistor-over-dissipation', bleeder('470k 0.25W carbon film', 500))).toEqual([]);
  });
  it('warns from four fifths on', async () => {
    expect(await say(id, bleeder('470k 0.5W carbon film', 270))).toEqual([]);
    expect(await say(id, bleeder('470k 0.5W carbon film', 290))).toEqual(['warning R25']);
  });
  it('leaves it to the watts where these are the limit', async () => {
    expect(await say(id, bleeder('10k 1W', 98))).toEqual([]);
  });
  it('makes no error of a style that is not written, unless every common one is exceeded', async () => {
    expect(await say(id, bleeder('470k 0.5W', 322))).toEqual(['warning R25']);
    expect(await say(id, bleeder('470k 0.5W', 352))).toEqual(['error R25']);
  });
  it('says nothing without a power rating', async () => {
    expect(await say(id, bleeder('470k', 500))).toEqual([]);
  });
});

describe('fuse-mismatch', () => {
  const id = 'fuse-mismatch';
  const others = (fuse: string) => ({
    '../chassis/rowan.tagstrip.md': `---\nsheet: chassis\nmodel: Rowan 8\n---\n# Rowan 8\n\n- F1 = ${fuse}\n`,
  });
  const found = (fuse: string) =>
    `---\nchassis: ../chassis/rowan.tagstrip.md\n---\n# Job\n\n## As found\n\n- F1 = ${fuse}\n`;
  it.each([
    ['T1A', 'T1A', []],
    ['T1A', '1A slow', []],
    ['T1A', 'T2A', ['error F1']],
    ['T1A', 'T1.25A', ['warning F1']],
    ['T1A', 'T800mA', ['warning F1']],
    ['F1A', 'T1A', ['error F1']],
    ['T1A', 'F1A', ['warning F1']],
    ['T1A', '1A', []],
  ] as const)('marked %s, found %s', async (marked, fitted, expected) => {
    expect(await say(id, found(fitted), others(marked))).toEqual(expected);
  });
  it('putting the right one back makes it information', async () => {
    const text = found('T3.15A').concat('\n## Work\n\n- F1 -> T1A\n\n## As left\n\n- mains: 230 V\n');
    expect(await say(id, text, others('T1A'))).toEqual(['info F1']);
  });
  it('without a chassis sheet only a step up is told, for what was found may have been wrong', async () => {
    const change = (is: string) =>
      job(`- F1 = T2A\n\n## Work\n\n- F1 -> ${is}\n\n## As left\n\n- mains: 230 V\n`);
    expect(await say(id, change('T1A'))).toEqual([]);
    expect(await say(id, change('T3.15A'))).toEqual(['warning F1']);
  });
  it('offers the marked one where this sheet fits another', async () => {
    const text = found('T1A').concat('\n## Work\n\n- F1 -> T2A\n\n## As left\n\n- mains: 230 V\n');
    const analysis = await analyse(text, others('T1A'));
    const finding = analysis.findings.find(({ rule }) => rule === id);
    const [fix] = fixes(analysis, finding?.source.span ?? { start: 0, end: 0 }).filter(
      (each) => each.finding.rule === id,
    );
    expect(fix?.title).toBe('Fit T1A as marked');
    expect(applyEdits(text, fix?.edits ?? [])).toContain('- F1 -> T1A\n');
  });
});

describe('line-capacitor-class', () => {
  const id = 'line-capacitor-class';
  const on = (body: string) => `---\nmains: 230 V 50 Hz\n---\n# Job\n\n## As found\n\n${body}`;
  it('from line to chassis only Y class will do', async () => {
    expect(await say(id, on('- C50 = 47n 600V, line to chassis\n'))).toEqual(['error C50']);
    expect(await say(id, on('- C50 = 47n 275V x2, neutral to gnd\n'))).toEqual(['error C50']);
    expect(await say(id, on('- C50 = 4n7 Y2, line to gnd\n'))).toEqual([]);
    expect(await say(id, on('- C50 = 4n7 Y4, line to gnd\n'))).toEqual(['error C50']);
  });
  it('between lines X class, or Y which is more', async () => {
    expect(await say(id, on('- C50 = 100n 630V, line to neutral\n'))).toEqual(['warning C50']);
    expect(await say(id, on('- C50 = 100n x2, line to neutral\n'))).toEqual([]);
    expect(await say(id, on('- C50 = 10n Y1, line to neutral\n'))).toEqual([]);
  });
  it('follows the line through fuse and switch', async () => {
    expect(
      await say(
        id,
        on('- F1 = T1A, line to behind\n- SW1 = toggle, behind to onoff\n- C50 = 47n 600V, onoff to gnd\n'),
      ),
    ).toEqual(['error C50']);
  });
  it('says nothing of capacitors elsewhere', async () => {
    expect(await say(id, on('- C21 = 47uF 450V, B+1 to gnd\n- C9 = 22n 630V, V1.a to V2.g\n'))).toEqual([]);
  });
});

describe('the output', () => {
  const output = (tap: string, speakers: string) =>
    job(`- T2 = output 8k : 4R 8R 16R 18W, V5.a V6.a, ct B+1, ${tap}\n${speakers}`);
  it('a loudspeaker is held against its tap', async () => {
    const id = 'speaker-mismatch';
    expect(await say(id, output('LS1 on 8R', '- LS1 = 8R 30W\n'))).toEqual([]);
    expect(await say(id, output('LS1 on 8R', '- LS1 = 6R 30W\n'))).toEqual([]);
    expect(await say(id, output('LS1 on 8R', '- LS1 = 15R 30W\n'))).toEqual(['warning LS1']);
    expect(await say(id, output('LS1 on 8R', '- LS1 = 16R 30W\n'))).toEqual(['error LS1']);
    expect(await say(id, output('LS1 on 8R', '- LS1 = 4R 30W\n'))).toEqual(['error LS1']);
    expect(await message(id, output('LS1 on 8R', '- LS1 = 4R 30W\n'))).toMatch(
      /anodes see 4 kΩ.*Use the 4 Ω tap/,
    );
  });
  it('two side by side make half of one', async () => {
    const id = 'speaker-mismatch';
    const two = (tap: string) => output(`LS1 on ${tap}, LS2 on ${tap}`, '- LS1, LS2 = 8R 30W\n');
    expect(await say(id, two('4R'))).toEqual([]);
    expect(await say(id, two('8R'))).toEqual(['error LS1,LS2']);
  });
  it('what the voice coil reads beats the label', async () => {
    const id = 'speaker-mismatch';
    expect(await say(id, output('LS1 on 8R', '- LS1 = 8R 30W\n- LS1: 3.1R\n'))).toEqual(['error LS1']);
    expect(await say(id, output('LS1 on 8R', '- LS1 = 8R 30W\n- LS1: 6.3R\n'))).toEqual([]);
  });
  it('driving it unloaded is an error, idling it so is not', async () => {
    const id = 'open-load';
    const run = (conditions: string) =>
      output('LS1 on 8R', `- LS1 = 8R 30W\n\n${conditions}:\n\n- B+1: 340 V\n`);
    expect(await say(id, run('no load, 1 kHz'))).toEqual(['error T2']);
    expect(await say(id, run('no load, clipping'))).toEqual(['error T2']);
    expect(await say(id, run('no load, no signal'))).toEqual([]);
    expect(await say(id, run('dummy 8R, 1 kHz'))).toEqual([]);
    expect(await say(id, run('no load, 1 kHz, V5 V6 out'))).toEqual([]);
  });
  it('an open voice coil that it ran into is an error; beside another, or with a dummy load, it is not', async () => {
    const id = 'open-load';
    const open = '- LS1 = 8R 30W\n- LS1: open\n- B+1: 340 V\n';
    expect(await say(id, output('LS1 on 8R', open))).toEqual(['error LS1']);
    expect(await say(id, output('LS1 on 8R', open.replace('- B+1', '\ndummy 8R:\n\n- B+1')))).toEqual([]);
    expect(await say(id, output('LS1 on 8R, LS2 on 8R', `${open}- LS2 = 16R 30W\n`))).toEqual([]);
  });
  it('watts into a loudspeaker are held against its own', async () => {
    const id = 'speaker-under-rated';
    const drive = (rating: string) =>
      output('LS1 on 8R', `- LS1 = 8R ${rating}\n\nclipping, 1 kHz, dummy 8R:\n\n- LS1: 12 Vrms\n`);
    expect(await say(id, drive('25W'))).toEqual([]);
    expect(await say(id, drive('15W'))).toEqual(['warning LS1']);
  });
});

describe('what is not written, and what sits on a board', () => {
  it('asks for a rating only of a part that the readings would judge', async () => {
    const id = 'rating-missing';
    expect(await say(id, job('- C21 = 47uF, B+1 to gnd\n'))).toEqual([]);
    expect(await say(id, job('- C21 = 47uF, B+1 to gnd\n- B+1: 340 V\n'))).toEqual(['hint C21']);
    expect(await say(id, job('- R17 = 470R, V5.k to gnd\n- V5 = 6V6GT\n- V5.k: 12 V\n'))).toEqual([
      'hint R17',
    ]);
    expect(await say(id, job('- R5 = 1k5, V1.k to gnd\n- V1 = 12AX7\n- V1.k: 1.4 V\n'))).toEqual([]);
  });
  it('does not ask where the chassis sheet says it', async () => {
    const others = {
      '../chassis/rowan.tagstrip.md':
        '---\nsheet: chassis\nmodel: Rowan 8\n---\n# Rowan 8\n\n- C21 = 47uF 450V, B+1 to gnd\n',
    };
    const text =
      '---\nchassis: ../chassis/rowan.tagstrip.md\n---\n# Job\n\n## Work\n\n- plug out, discharged: B+1: 2 V\n- C21 -> 47uF\n\n## As left\n\n- B+1: 340 V\n';
    expect(await say('rating-missing', text, others)).toEqual([]);
  });
  it('heat on a board is told whatever the rating, until the part is raised', async () => {
    const id = 'runs-hot-on-board';
    const part = (kind: string, after = '') =>
      job(`- R19 = 220R 10W wirewound ${kind}, V5.k to gnd\n- R19: 25.2 V\n${after}`);
    expect(await say(id, part('board-mounted'))).toEqual(['info R19']);
    expect(await say(id, part(''))).toEqual([]);
    const raised = part('pcb', '\n## Work\n\n- R19 -> raised\n\n## As left\n\n- R19: 25.1 V\n');
    const { findings } = await analyse(raised);
    expect(
      findings
        .filter(({ rule }) => rule === id)
        .map(({ phase, cleared }) => `${phase} ${cleared !== undefined}`),
    ).toEqual(['as-found true']);
  });
});
