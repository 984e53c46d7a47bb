/** What stands for a reading that is still to be taken: it names the point, says nothing of it, and nobody is warned. */
import { expect, test } from 'vitest';
import { readNote } from '../../server/dialect/note.ts';
import { createSnapshot } from '../../server/text/snapshot.ts';
import { describeNote } from '../support/describe-tag.ts';
import { showWritten as show } from './tag-show.ts';

test.each([
  ['{mains: ? V}', 'mention mains'],
  ['{B+1: ?}', 'mention B+1'],
  ['{B+1: ? Vpp}', 'mention B+1'],
  ['{B+1: –}', 'mention B+1'],
  ['{V5: n/a}', 'mention V5'],
  ['{V5: ? mA}', 'mention V5'],
  ['{V5.a to B+1: ?}', 'mention V5.a B+1'],
  ['{V5: a ?, g2 ?, k ?}', 'mention V5'],
  ['{V5: a 331, g2 ?, k 19.4}', 'reading V5.a voltage 331 V*; V5.k voltage 19.4 V*'],
  ['{V5: a ?, k 19.4}', 'reading V5.k voltage 19.4 V*'],
  ['{B+1: 352 V, B+2: ? V}', 'reading B+1 voltage 352 V'],
  ['- B+1: 4 V, B+2: ?, B+3: 2 V', 'reading B+1 voltage 4 V; B+3 voltage 2 V'],
  ['- B+1: ?, B+2: 2 V', 'reading B+2 voltage 2 V'],
  ['- earth to chassis: 0.1R', 'reading earth to chassis resistance 0.1 Ω'],
  ['- earth to chassis: ?', 'prose'],
  ['- V5: a ?, k ?', 'mention V5'],
  ['- C21: ? uF', 'mention C21'],
])('%s', (written, understood) => {
  expect(show(written)).toBe(understood);
});

test.each(['{V5: what?}', '{B+1: ? or 352}', '{R17: ?!}'])('%s is still asked about', (written) => {
  expect(show(written)).toMatch(/^unreadable/);
});

test('a task to fill in is no reading and no problem', () => {
  const note = '# Job\n\n## Work\n\n- [ ] plug out, discharged through 10k: B+1: ? V\n- V5: a ?, k ?\n';
  const lines = describeNote(readNote(createSnapshot('a.tagstrip.md', note)));
  expect(lines.filter((line) => /reading|problem|unreadable/.test(line))).toEqual([]);
});
