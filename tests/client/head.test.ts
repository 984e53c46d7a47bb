/** What the client reads of a head by itself is what the server reads there, whatever its quotes and comments. */
import { describe, expect, it } from 'vitest';
import { asHeadValue, chassisNamedIn, headField, isChassisSheet } from '../../client/head.ts';
import { templateOf } from '../../client/templates.ts';
import { analyse } from '../support/check.ts';
import { fillIn } from '../support/placeholders.ts';

const CHASSIS = '../chassis/larch-20.b.tagstrip.md';

describe.each([
  ['bare', `---\nchassis: ${CHASSIS}\n---\n`, CHASSIS],
  ['in double quotes', `---\nchassis: "${CHASSIS}"\n---\n`, CHASSIS],
  ['in single quotes', `---\nchassis: '${CHASSIS}'\n---\n`, CHASSIS],
  ['with a comment behind it', `---\nchassis: ${CHASSIS}  # as drawn in 2019\n---\n`, CHASSIS],
  ['in quotes with a comment', `---\nchassis: "${CHASSIS}" # as drawn\n---\n`, CHASSIS],
  ['with a hash in the name', '---\nchassis: ../larch#2.tagstrip.md\n---\n', '../larch#2.tagstrip.md'],
  ['with a quote in the name', "---\nchassis: '../larch''s.tagstrip.md'\n---\n", "../larch's.tagstrip.md"],
  ['with blanks in the name', '---\nchassis: ../our larch.tagstrip.md \n---\n', '../our larch.tagstrip.md'],
  ['behind a byte-order mark', `\uFEFF---\r\njob: 7\r\nchassis: ${CHASSIS}\r\n---\r\n`, CHASSIS],
  ['in the text below the head', `---\njob: 7\n---\n\nchassis: ${CHASSIS}\n`, undefined],
  ['in no head', `chassis: ${CHASSIS}\n`, undefined],
  ['not there', '---\nchassis:\n---\n', undefined],
  ['as a comment alone', '---\nchassis: # not drawn yet\n---\n', undefined],
])('a chassis sheet named %s', (_, text, path) => {
  it('is read as the server reads it', async () => {
    expect(headField(text, 'chassis')).toBe(path);
    const { sheet } = await analyse(text);
    expect(sheet.field('chassis')?.text || undefined).toBe(path);
  });
});

it('a path is one to a sheet beside, whichever way its strokes lean', () => {
  expect(chassisNamedIn('---\nchassis: ..\\chassis\\larch.tagstrip.md\n---\n')).toBe(
    '../chassis/larch.tagstrip.md',
  );
  expect(chassisNamedIn('---\nchassis: https://bench.example/larch.tagstrip.md\n---\n')).toBeUndefined();
});

it('a chassis sheet is known by its head', () => {
  expect(isChassisSheet('---\nsheet: "chassis" # the Larch\n---\n')).toBe(true);
  expect(isChassisSheet('---\njob: 7\n---\n\nsheet: chassis\n')).toBe(false);
});

it.each([
  CHASSIS,
  '../larch #2.tagstrip.md',
  "'larch'.tagstrip.md",
  '../larch: the second.tagstrip.md',
  '- larch.tagstrip.md',
  '[larch].tagstrip.md',
])('%s is written into a new head so that it is read again', async (path) => {
  expect(headField(`---\nchassis: ${asHeadValue(path)}\n---\n`, 'chassis')).toBe(path);
  const { sheet } = await analyse(fillIn(templateOf('job', { day: '2026-03-02', chassis: path })));
  expect(sheet.field('chassis')?.text).toBe(path);
});
