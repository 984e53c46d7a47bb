/** What a sheet or the name of its file says is no command to the terminal, whichever verb prints it; and how lines are broken. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, it } from 'vitest';
import { visibleLength, wrap } from '../../server/cli/terminal.ts';
import { VERBS } from '../../server/cli/verbs.ts';
import { tagstrip } from '../support/command.ts';

/** Clears the screen, names the window, and colours what follows, in both ways of writing that. */
const SIGNS = ['\u001b[2J', '\u001b]0;mine\u0007', '\u009b31m'];
const [CLEAR = '', NAME = '', RED = ''] = SIGNS;

const sheet = (remark: string) => `---
job: 1
model: La${NAME}rch
serial: 0${RED}1
---
# Jo${CLEAR}b

## As found

It hu${CLEAR}ms.

- R18 = 470R 5W
- R18 = 330R 5W (was ${RED}${remark})
- R17 = 4${CLEAR}7k
- {V5: a 3${CLEAR}31x}
- C11: {charred} (sm${NAME}oke)

{accept two-values R18: bo${CLEAR}th}
`;

const folder = mkdtempSync(join(tmpdir(), 'tagstrip-terminal-'));
const files = [`a${CLEAR}.tagstrip.md`, 'b.tagstrip.md'] as const;
writeFileSync(join(folder, files[0]), sheet('hot'));
writeFileSync(join(folder, files[1]), sheet('cold'));
afterAll(() => rmSync(folder, { recursive: true }));

/** What each verb is given; a diff to apply and a page that is written as it is are not for the eye. */
const GIVEN: Readonly<Record<string, readonly string[]>> = {
  statements: [files[0]],
  changes: files,
  compare: files,
  mods: files,
};
const FOR_THE_EYE = VERBS.filter(({ name, formats }) => formats.includes('text') && name !== 'tidy');

it.each(FOR_THE_EYE.map(({ name }) => name))('%s', async (verb) => {
  const { out, err } = await tagstrip([verb, ...(GIVEN[verb] ?? ['.'])], { at: folder });
  expect(out + err).not.toBe('');
  // biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is looked for.
  expect((out + err).match(/[\u0000-\u0009\u000b-\u001f\u007f-\u009f]/g)).toBeNull();
});

it('a line is broken at single spaces, and what goes on stands below its beginning', () => {
  const words = 'R18 is 470\u00a0\u03a9  5\u00a0W and hotter than it may be, which its board shows';
  const lines = wrap(words, '- ', '  ', 44);
  expect(lines).toEqual([
    '- R18 is 470\u00a0\u03a9  5\u00a0W and hotter than it may',
    '  be, which its board shows',
  ]);
  expect(Math.max(...lines.map(visibleLength))).toBeLessThanOrEqual(44);
});
