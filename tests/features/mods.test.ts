/** Mods in the editor: what a line says of how a mod stands, and what is written of it into a job sheet, once and nowhere else. */
import { describe, expect, it } from 'vitest';
import { hover } from '../../server/features/hover.ts';
import { findModLine, modHover } from '../../server/features/mods.ts';
import { writeMods } from '../../server/features/write-mod.ts';
import { applyEdits } from '../../server/text/edits.ts';
import { MODS, plain, readSheets } from '../shop/mods/alder.ts';
import { getCursor, readFile } from '../support/fixture.ts';

/** The sheet at `path` with that text, and others as they are. */
async function open(path: string, text: string, others: readonly string[]) {
  const [analysis, ...near] = await readSheets([path, ...others], { [path]: text });
  if (analysis === undefined) throw new Error('nothing was read');
  return { analysis, others: near };
}

async function hovered(path: string, marked: string, others: readonly string[]): Promise<string> {
  const file = readFile(marked);
  const { analysis, others: near } = await open(path, file.text, others);
  const line = findModLine(analysis, getCursor(file));
  if (line === undefined) return 'no line of a mod';
  const found = modHover(line, analysis, near, hover(analysis, getCursor(file)));
  return plain([found?.headline, ...(found?.asides.flatMap(({ lines }) => lines) ?? [])].join('\n'));
}

const MOD_PATHS = Object.keys(MODS).map((name) => `mods/${name}.tagstrip.md`);
const job = (body: string, chassis = 'a') =>
  `---\njob: 7\nchassis: ../chassis/${chassis}.tagstrip.md\n---\n# The loud one\n\n${body}`;

describe('hovering', () => {
  const mod = (body: string) =>
    `---\nsheet: mod\nname: x\nwritten-for: ../chassis/a.tagstrip.md\n---\n# X\n\n${body}`;
  const chassis = ['chassis/a.tagstrip.md', 'chassis/b.tagstrip.md', 'chassis/c.tagstrip.md'];

  it('over a change of a mod sheet tells how it stands on each revision', async () => {
    const said = await hovered(
      'mods/x.tagstrip.md',
      mod('- ‸R8 = 470R 5W, V2.k to gnd -> 560R 7W wirewound\n'),
      chassis,
    );
    expect(said.split('\n').slice(1, 4)).toEqual([
      'Alder 5, revision a: still applies: R8 (cathode resistor of V2) is 470 Ω 5 W wirewound',
      'Alder 5, revision b: not applicable: R8 is 510 Ω 5 W wirewound, and the mod changes 470 Ω 5 W',
      'Alder 5, revision c: here R5, still applies: R5 (cathode resistor of V1) is 470 Ω 5 W wirewound',
    ]);
    // What the change does where it was written for stays below.
    expect(said).toContain('DC, expected: V2 bias');
  });

  it('over a part that a mod adds does so too, and over prose nothing', async () => {
    const said = await hovered('mods/x.tagstrip.md', mod('- ‸R20 = 220k 2W, B+1 to gnd\n'), chassis);
    expect(said).toContain('Alder 5, revision b: done at the factory: R20 is 220 kΩ 2 W');
    expect(await hovered('mods/x.tagstrip.md', mod('It ‸hums.\n'), chassis)).toBe('no line of a mod');
  });

  it('over a job’s line on a mod tells the share that is open, the writer’s word and each change', async () => {
    const said = await hovered(
      'jobs/7.tagstrip.md',
      job('## Work\n\n- C1 = 25uF 25V -> 680n 63V film\n- ‸mod bass-shelf: still applies\n'),
      MOD_PATHS,
    );
    expect(said.split('\n')).toEqual([
      'mod bass-shelf still applies: 1 of 2 changes is open, 1 already done',
      'For: less mud',
      'The sheet says so itself: still applies',
      'C1 25 µF 25 V → 680 nF 63 V film: already done: C1 is 680 nF 63 V film, fitted on this visit',
      'C3 25 µF 25 V → 680 nF 63 V film: conflicts: C3 (cathode bypass of V1B) is 25 µF 25 V electrolytic; mod no-bypass takes C3 out, so only one of the two can be done',
    ]);
  });

  it('over a mod that has no sheet says so', async () => {
    const said = await hovered('jobs/7.tagstrip.md', job('- mod ‸nowhere: declined\n'), MOD_PATHS);
    expect(said).toBe(
      'mod nowhere: declined, as written here\nNo mod sheet of the folders is named nowhere, so nothing else is known of it.',
    );
  });
});

interface Written {
  readonly title: string;
  readonly text: string;
}

async function written(marked: string, others = MOD_PATHS): Promise<readonly Written[]> {
  const file = readFile(marked);
  const at = { start: getCursor(file), end: getCursor(file) };
  const { analysis, others: mods } = await open('jobs/7.tagstrip.md', file.text, others);
  return writeMods(analysis, at, mods).map(({ title, edits }) => ({
    title,
    text: applyEdits(file.text, edits),
  }));
}

describe('writing a mod into a job', () => {
  it('puts what still applies under Work as tasks, by the job’s own refs, with what was there', async () => {
    const before = job(
      '## Work\n\n- [x] discharged\n- ‸mod bass-shelf: still applies\n\n## As left\n\n- B+1: 320 V\n',
      'c',
    );
    const [offer, ...more] = await written(before);
    expect(more).toEqual([]);
    expect(offer?.title).toBe('Write the changes of mod bass-shelf that still apply (2 tasks)');
    expect(offer?.text).toBe(
      before
        .replace('‸', '')
        .replace(
          'still applies\n',
          'still applies\n- [ ] C4 = 25uF 25V electrolytic -> 680n 63V film (mod bass-shelf)\n- [ ] C1 = 25uF 25V electrolytic -> 680n 63V film (mod bass-shelf)\n',
        ),
    );
  });

  it('keeps line ends, and the bullet that the list has', async () => {
    const before = job('## Work\n\n* ‸mod cool-output: still applies\n').replaceAll('\n', '\r\n');
    const [offer] = await written(before);
    expect(offer?.text).toBe(
      `${before.replace('‸', '').trimEnd()}\r\n* [ ] R8 = 470R 5W wirewound -> 560R 7W wirewound (mod cool-output)\r\n`,
    );
  });

  it('writes a part that is added where it goes, under a ref that is free, and one that goes out', async () => {
    const [bleeder] = await written(job('## Work\n\n- ‸mod bleeder: still applies\n', 'c'));
    expect(bleeder?.text).toContain('\n- [ ] R22 = 220k 2W metal film, B+1 to gnd (mod bleeder)\n');
    const [none] = await written(job('## Work\n\n- ‸mod no-bypass: still applies\n', 'c'));
    expect(none?.text).toContain('\n- [ ] C1 = 25uF 25V electrolytic -> removed (mod no-bypass)\n');
  });

  it('makes the heading where there is no work yet, before what was left', async () => {
    const [offer] = await written(job('- ‸mod cool-output: still applies\n\n## As left\n\n- B+1: 320 V\n'));
    expect(offer?.text).toContain(
      'still applies\n\n## Work\n\n- [ ] R8 = 470R 5W wirewound -> 560R 7W wirewound (mod cool-output)\n\n## As left\n',
    );
  });

  it('behind a table or prose begins a list of its own', async () => {
    const [offer] = await written(job('- ‸mod cool-output: still applies\n\n## Work\n\nNothing yet.\n'));
    expect(offer?.text).toContain('Nothing yet.\n\n- [ ] R8 = 470R');
  });

  it('never does it twice: not while it is planned, not when it is done', async () => {
    const [offer] = await written(job('## Work\n\n- ‸mod bass-shelf: still applies\n', 'c'));
    const planned = (offer?.text ?? '').replace('- mod', '- ‸mod');
    expect(await written(planned)).toEqual([]);
    expect(await written(planned.replaceAll('[ ]', '[x]'))).toEqual([]);
    // One of the two is ticked off, the other taken out again.
    const [again] = await written(planned.replace(/- \[ \] C1 .*\n/, '').replace('[ ]', '[x]'));
    expect(again?.title).toBe('Write the changes of mod bass-shelf that still apply (1 task)');
  });

  it('is not offered where the writer has done with it, nor of a mod that does not apply', async () => {
    expect(await written(job('- ‸mod bass-shelf: declined\n'))).toEqual([]);
    expect(await written(job('- ‸mod cool-output: still applies\n', 'b'))).toEqual([]);
    expect(await written(job('It ‸hums.\n'))).toEqual([]);
  });

  it('says what it needs first', async () => {
    const [offer] = await written(job('- ‸mod firm-supply: still applies\n'));
    expect(offer?.title).toBe(
      'Write the changes of mod firm-supply that still apply (1 task; it needs bleeder first)',
    );
  });

  it('offers every mod of the model on the heading of the work', async () => {
    const titles = (await written(job('## ‸Work\n\n- [x] discharged\n'))).map(({ title }) => title);
    expect(titles.map((title) => title.split(' ')[5])).toEqual(Object.keys(MODS));
  });

  it('is read back as what it is: planned, and of the same value', async () => {
    for (const name of Object.keys(MODS)) {
      const [offer] = await written(job(`## Work\n\n- ‸mod ${name}: still applies\n`, 'c'));
      const { analysis } = await open('jobs/7.tagstrip.md', offer?.text ?? '', []);
      const changes = analysis.amplifier.changes;
      expect(changes.length, name).toBeGreaterThan(0);
      expect(changes.every(({ planned }) => planned)).toBe(true);
      expect(analysis.findings.filter(({ rule }) => rule === 'tag-unreadable')).toEqual([]);
    }
  });
});
