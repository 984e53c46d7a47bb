/** New sheets: nobody is blamed for what he has not written yet, and what he then writes is read. */
import { describe, expect, it } from 'vitest';
import { dayOf, pathFrom, type SheetKind, templateOf } from '../../client/templates.ts';
import { statements } from '../sheet/saying.ts';
import { analyse, sayFinding } from '../support/check.ts';
import { fillIn } from '../support/placeholders.ts';

const KINDS: readonly SheetKind[] = ['job', 'chassis', 'mod', 'shop'];
const CHASSIS = '../chassis/larch-20.b.tagstrip.md';
const BESIDE = { [CHASSIS]: '---\nsheet: chassis\n---\n# Larch 20\n\n- V1 = 6V6GT\n' };

describe.each(KINDS)('a new %s sheet', (kind) => {
  it.each([
    ['where no chassis sheet is known', undefined],
    ['on a chassis sheet', CHASSIS],
  ])('is of its kind and has no findings, %s', async (_, chassis) => {
    const text = fillIn(templateOf(kind, { day: '2026-03-02', chassis }));
    const analysis = await analyse(text, BESIDE);
    expect(analysis.findings.map((finding) => sayFinding(finding, text))).toEqual([]);
    expect(analysis.sheet.kind).toBe(kind);
  });

  it('has each place once, from the first on', () => {
    const places = [...templateOf(kind, { day: '', chassis: CHASSIS }).matchAll(/\$\{?(\d+)/g)].map(([, n]) =>
      Number(n),
    );
    const asked = places.filter((n) => n > 0);
    expect(asked).toEqual(asked.map((_, i) => i + 1));
    expect(places.filter((n) => n === 0)).toHaveLength(1);
  });
});

it('a job’s head says its chassis sheet and the day', async () => {
  const text = fillIn(templateOf('job', { day: '2026-03-02', chassis: CHASSIS }));
  expect(text).toContain(`chassis: ${CHASSIS}\nreceived: 2026-03-02\n`);
});

it('a chassis sheet with signs that mean something to the editor is written as it is called', () => {
  expect(fillIn(templateOf('job', { day: '', chassis: '../a$1}\\b.tagstrip.md' }))).toContain(
    'chassis: ../a$1}\\b.tagstrip.md\n',
  );
});

it('what is written into a new job sheet is read', async () => {
  const text = fillIn(templateOf('job', { day: '2026-03-02', chassis: undefined }), ['233'])
    .replace('| V1    |   |    |   |   |', '| V1    | 331 | 322 | 0 | 19.4 |')
    .replace(
      '- [ ] plug out, discharged through 10k: B+1: ? V',
      '- [x] plug out, discharged through 10k: B+1: 4 V',
    );
  const { sheet } = await analyse(text);
  expect(
    statements(sheet)
      .split('\n')
      .map((line) => line.replace(/ {2}".*$/, '')),
  ).toEqual([
    'as-found  set 1  mains  ac-voltage 233 V',
    'as-found  set 1  V1.a  voltage 331 V',
    'as-found  set 1  V1.g2  voltage 322 V',
    'as-found  set 1  V1.g  voltage 0 V',
    'as-found  set 1  V1.k  voltage 19.4 V',
    'work  set 2  B+1  voltage 4 V  (plug out, discharged through 10k)',
  ]);
});

describe('the way from a folder to a file', () => {
  it.each([
    ['/shop/jobs', '/shop/chassis/a.md', '../chassis/a.md'],
    ['/shop', '/shop/chassis/a.md', 'chassis/a.md'],
    ['/shop/chassis', '/shop/chassis/a.md', 'a.md'],
    ['/a/b', '/c/d.md', '../../c/d.md'],
  ])('%s, %s: %s', (folder, file, way) => {
    expect(pathFrom(folder, file)).toBe(way);
  });
});

it.each([
  ['Pacific/Auckland', '2026-03-02T20:30:00Z', '2026-03-03'],
  ['America/Los_Angeles', '2026-03-03T04:00:00Z', '2026-03-02'],
])('the day of a new sheet is the one on the wall of a shop in %s', (place, moment, day) => {
  const own = process.env.TZ;
  try {
    process.env.TZ = place;
    expect(dayOf(new Date(moment))).toBe(day);
  } finally {
    if (own === undefined) delete process.env.TZ;
    else process.env.TZ = own;
  }
});
