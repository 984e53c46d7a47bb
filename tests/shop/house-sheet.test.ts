/** The shop sheet: what it governs, what a bad line in it says, and that a change of it counts at once. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { memoryFiles } from '../../server/shop/files.ts';
import { createShop } from '../../server/shop/shop.ts';
import { analyse, findingsOf } from '../support/check.ts';

const JOB = `# Job

## As found

- C21 = 47uF 450V electrolytic, B+1 to gnd
- B+1: 412 V
`;
const shopSheet = (settings: string) => `---\nsheet: shop\n${settings}---\n# The shop\n`;
const under = (settings: string) => ({ '../shop.tagstrip.md': shopSheet(settings) });

describe('thresholds and severities', () => {
  it('without a shop sheet, 412 V on 450 V is information', async () => {
    expect(await findingsOf(JOB)).toEqual([expect.stringContaining('info over-voltage C21')]);
  });
  it('a stricter threshold makes it a warning', async () => {
    const found = await findingsOf(JOB, under('rules:\n  over-voltage:\n    warning: 85 %\n'));
    expect(found).toEqual([expect.stringContaining('warning over-voltage C21')]);
  });
  it('a severity is what the shop says', async () => {
    const found = await findingsOf(JOB, under('rules:\n  over-voltage: hint\n'));
    expect(found).toEqual([expect.stringContaining('hint over-voltage C21')]);
  });
  it('off is off', async () => {
    expect(await findingsOf(JOB, under('rules:\n  over-voltage: off\n'))).toEqual([]);
  });
  it('the nearest shop sheet upwards governs, and only that one', async () => {
    const both = {
      ...under('rules:\n  over-voltage: off\n'),
      './shop.tagstrip.md': shopSheet('rules:\n  over-voltage: error\n'),
    };
    expect(await findingsOf(JOB, both)).toEqual([expect.stringContaining('error over-voltage C21')]);
  });
});

describe('the shop’s own words and customs', () => {
  it('a heading in its language begins a phase', async () => {
    const job = '# Auftrag\n\n## Endkontrolle\n\n- V5 6V6GT: a 331, 38 mA\n';
    const { amplifier } = await analyse(job, under('headings:\n  as-left: [Endkontrolle]\n'));
    expect(amplifier.phases.map(({ phase }) => phase)).toContain('as-left');
  });
  it('a sense resistor under every cathode turns millivolts into milliamperes', async () => {
    const job = '# Job\n\n## As found\n\n- V5 = EL34\n- V5: a 440, k 38mV\n';
    const { amplifier } = await analyse(job, under('sense: 1R\n'));
    const current = amplifier.phases[0]?.figures.find(({ figure }) => figure === 'cathode-current');
    expect(current?.quantity.value).toBeCloseTo(0.038, 6);
  });
  it('a valve that the catalogue lacks is judged by the shop’s limits', async () => {
    const job =
      '# Job\n\n## As found\n\n- V5 = 6Q9Z\n- R17 = 330R 5W, V5.k to gnd\n- V5: a 271, g2 262, k 19.4\n';
    expect(await findingsOf(job)).toEqual([expect.stringContaining('warning valve-unknown V5')]);
    const found = await findingsOf(
      job,
      under(
        'valves:\n  6Q9Z:\n    like: 6V6GT\n    anode-dissipation: 20 W\n    source: leaflet in the drawer\n',
      ),
    );
    expect(found).toEqual([]);
    const { amplifier } = await analyse(job, under('valves:\n  6Q9Z: like 6V6GT\n'));
    const loading = amplifier.phases[0]?.figures.find(({ figure }) => figure === 'anode-loading');
    expect(loading?.limit?.quantity.value).toBe(12);
  });
});

describe('the shop’s mains', () => {
  const job = `# Job

## As found

- V9 = GZ34, T1 to B+1
- C1 = 32uF 500V electrolytic, B+1 to gnd
- R20 = 1k 10W, B+1 to B+2
- B+1: 326 V, 16.7 Vpp
- B+2: 244 V
`;
  const capacitance = async (text: string, others?: Readonly<Record<string, string>>) => {
    const { amplifier } = await analyse(text, others);
    const figures = amplifier.phases.flatMap((view) => view.figures);
    return figures.find(({ figure }) => figure === 'effective-capacitance');
  };

  it('holds where no sheet says another, and is pointed at in the shop sheet', async () => {
    const shop = { '../shop.tagstrip.md': shopSheet('mains: 120 V 60 Hz\n') };
    const figure = await capacitance(job, shop);
    const frequency = figure?.inputs.find(({ symbol }) => symbol === 'f');
    expect(frequency?.known).toMatchObject({
      quantity: { value: 60, unit: 'Hz' },
      source: { file: 'file:///shop/shop.tagstrip.md' },
    });
    const own = await capacitance(`---\nmains: 230 V 50 Hz\n---\n${job}`, shop);
    expect(own?.inputs.find(({ symbol }) => symbol === 'f')?.known.quantity.value).toBe(50);
  });
});

describe('a bad line is a finding in the shop sheet, and the rest counts', () => {
  const problems = async (settings: string) => {
    const { findings } = await analyse(shopSheet(settings));
    return findings.map(({ subject, message }) => `${subject}: ${message}`);
  };
  it.each([
    ['rules:\n  over-voltege: off\n', /^over-voltege: There is no rule over-voltege/],
    ['rules:\n  over-voltage:\n    warning: nearly\n', /^nearly: over-voltage: warning wants a number/],
    ['rules:\n  over-voltage:\n    warnung: 0.9\n', /^warnung: over-voltage has no setting warnung.*warning/],
    ['rules:\n  over-voltage: loud\n', /^loud: over-voltage: loud is no severity/],
    ['headings:\n  finished: [Fertig]\n', /^finished: Headings have no meaning finished/],
    ['sense: 470R\n', /^470R: sense wants the resistor/],
    ['sections: left first\n', /^left first: sections wants/],
    ['valves:\n  6Q9Z: like 6Q9Q\n', /6Q9Z wants “like”/],
    [
      'valves:\n  6Q9Z:\n    like: EL84\n    anode-dissipation: lots\n',
      /^lots: anode-dissipation wants a value in W/,
    ],
    [
      'valves:\n  6Q9Z:\n    like: EL84\n    colour: blue\n',
      /^colour: A valve of the shop sheet has no colour/,
    ],
  ])('%j', async (settings, message) => {
    expect(await problems(settings)).toEqual([expect.stringMatching(message)]);
  });
  it('a good setting beside a bad one counts', async () => {
    const settings = 'rules:\n  over-voltege: off\n  over-voltage: off\n';
    expect(await findingsOf(JOB, under(settings))).toEqual([]);
  });
});

describe('the page of the dialect', () => {
  it('shows a shop sheet that can be read', async () => {
    const page = readFileSync(new URL('../../grammar/dialect.md', import.meta.url), 'utf8');
    const example = /```yaml\n(---\nsheet: shop\n[\s\S]*?---\n)```/.exec(page)?.[1];
    expect(example).toBeDefined();
    expect(await findingsOf(`${example}# The shop\n`)).toEqual([]);
  });
});

describe('a change of the shop sheet', () => {
  const job = 'file:///shop/jobs/a.tagstrip.md';
  const house = 'file:///shop/shop.tagstrip.md';

  it('counts at once, open in the editor before it is saved, and names what it governs', async () => {
    const shop = createShop({ files: memoryFiles({ [job]: JOB, [house]: shopSheet('') }) });
    const severities = async () => (await shop.analyse(job))?.findings.map(({ severity }) => severity);
    expect(await severities()).toEqual(['info']);
    expect(shop.dependents(house)).toEqual([job]);
    shop.store.setOpen(house, shopSheet('rules:\n  over-voltage: error\n'), 1);
    expect(await severities()).toEqual(['error']);
    shop.store.close(house);
    expect(await severities()).toEqual(['info']);
  });

  it('asks the disk once for folders without one', async () => {
    const files = memoryFiles({ [job]: JOB });
    const shop = createShop({ files });
    await shop.analyse(job);
    const reads = files.reads();
    for (let version = 1; version < 20; version++) {
      shop.store.setOpen(job, `${JOB}\n${version}\n`, version);
      await shop.analyse(job);
    }
    expect(files.reads()).toBe(reads);
    shop.store.forget(house);
    await shop.analyse(job);
    expect(files.reads()).toBe(reads + 1);
  });

  it('governs a sheet that was never saved, by where it will be', async () => {
    const shop = createShop({ files: memoryFiles({ [house]: shopSheet('rules:\n  over-voltage: off\n') }) });
    shop.store.setOpen('untitled:/shop/jobs/new.tagstrip.md', JOB, 1);
    expect((await shop.analyse('untitled:/shop/jobs/new.tagstrip.md'))?.findings).toEqual([]);
  });
});
