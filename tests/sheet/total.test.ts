import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Sheet } from '../../server/sheet/model.ts';
import { sheetOf, statements } from './saying.ts';

const FRAGMENTS = [
  '# Larch 20\n',
  '## As found\n',
  '## Work\n',
  '### Left-hand socket\n',
  '## As left\n',
  '## Wanted\n',
  '## Differs from revision a\n',
  '\n',
  'lamp 60 W:\n\n',
  'same conditions:\n\n',
  'Mains {mains: 236 V}, dummy load.\n\n',
  '- [ ] C12 = 10uF 25V -> 1uF 50V film\n',
  '- [x] plug out, discharged: B+1: 4 V\n',
  '  - V5: a 331, g2 322, k 19.4\n',
  '- C14 lifted: V5.g: 0 V\n',
  '- R17, R18 = 470R 5W, V5.k V6.k to tail\n',
  '{tail: 34 V} {tial: 34 V} {? V5.k / R17} {accept screen-over-voltage V5: why}\n\n',
  '| Valve | a | k |\n| --- | --- | --- |\n| V5 | 331 | 19 |\n\n',
  '| Point | Found | Left |\n| --- | --- | --- |\n| B+1 | 331 | 340 |\n\n',
  '- B+1: 331 V -> 340 V\n',
  '![R17 charred](r17.jpg) R17 and V5 🔥\n\n',
  '{R17',
  '}',
  '\u2028',
  '\uFEFF',
  '\ud800',
];

const notes = fc.array(fc.constantFrom(...FRAGMENTS), { maxLength: 25 }).map((parts) => parts.join(''));

describe('any note', () => {
  it('is read without a throw, with every span in the text and every set known', () => {
    fc.assert(
      fc.property(notes, (text) => {
        const sheet = sheetOf(text);
        const ids = new Set(sheet.sets.map(({ id }) => id));
        for (const { start, end } of spansOf(sheet))
          expect(0 <= start && start <= end && end <= text.length).toBe(true);
        for (const statement of sheet.statements) {
          if (statement.kind !== 'reading' && statement.kind !== 'question') continue;
          const takesPart = statement.kind === 'reading' && !statement.planned && !statement.nominal;
          expect(ids.has(statement.set) || (statement.set === 0 && !takesPart)).toBe(true);
        }
        for (const { phase, normal, limited, off } of sheet.sets) {
          expect(phase).not.toBe('factory');
          expect(normal && (limited || off)).toBe(false);
        }
      }),
      { numRuns: 80, seed: 20 },
    );
  });

  it('says the same whatever stands behind it under a heading of its own', () => {
    fc.assert(
      fc.property(notes, (text) => {
        const whole = statements(sheetOf(`## As found\n\n- B+1: 331 V\n\n## Work\n\n## As left\n\n${text}`));
        expect(whole.split('\n')[0]).toBe('as-found  set 1  B+1  voltage 331 V  "B+1: 331 V"');
      }),
      { numRuns: 25, seed: 21 },
    );
  });
});

function spansOf(sheet: Sheet) {
  return [
    ...sheet.statements,
    ...sheet.mentions,
    ...sheet.sets,
    ...sheet.tasks,
    ...sheet.photos,
    ...sheet.problems,
    ...sheet.acceptances,
    ...sheet.keeps,
  ].map(({ span }) => span);
}
