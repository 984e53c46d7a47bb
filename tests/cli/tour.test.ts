/** The tour of the samples in the README: every command in it runs, and prints what is shown below it, line by line and in that order. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { root, tagstrip } from '../support/command.ts';

interface Step {
  readonly command: string;
  readonly shown: readonly string[];
}

/** Each `sh` block is one command; the `text` block that follows is what it prints, with a `…` where something is left out. */
function stepsOf(readme: string): readonly Step[] {
  const [, tour = ''] = readme.split('<!-- tour:begin -->');
  const blocks = [...(tour.split('<!-- tour:end -->')[0] ?? '').matchAll(/```(sh|text)\n([\s\S]*?)```/g)];
  const steps: Step[] = [];
  for (const [i, [, kind, body = '']] of blocks.entries()) {
    if (kind !== 'sh') continue;
    const next = blocks[i + 1];
    const shown = next?.[1] === 'text' ? (next[2] ?? '').trim().split('\n') : [];
    steps.push({ command: body.trim(), shown: shown.map(squeezed).filter((line) => line !== '…') });
  }
  return steps;
}

/** How wide the terminal is and where a line breaks is nobody's business. */
function squeezed(text: string): string {
  return text.replace(/\s+/g, ' ').trim();
}

const steps = stepsOf(readFileSync(join(root, 'README.md'), 'utf8'));

describe('the tour of the samples', { timeout: 60_000 }, () => {
  it('is there, and goes through more than one verb', () => {
    expect(new Set(steps.map(({ command }) => command.split(' ')[1])).size).toBeGreaterThanOrEqual(7);
  });

  it.each(steps)('$command', async ({ command, shown }) => {
    const [program, ...args] = command.split(/\s+/);
    expect(program).toBe('tagstrip');
    expect(shown.length).toBeGreaterThan(0);
    const { code, out, err } = await tagstrip(args, { width: 110 });
    expect(err).toBe('');
    expect(code).toBe(shown.some((line) => line.startsWith('error')) ? 1 : 0);
    const printed = squeezed(out);
    let at = 0;
    for (const line of shown) {
      const found = printed.indexOf(line, at);
      expect(found, `“${line}” is printed, behind what is shown before it`).toBeGreaterThanOrEqual(0);
      at = found + line.length;
    }
  });
});
