/** Where the mains that a computed number rests on is written, however it is said. */
import { describe, expect, it } from 'vitest';
import { expectedFigures } from '../../server/bench/expected.ts';
import { analyse } from '../support/check.ts';

const SUPPLY =
  '- T1 = mains 290-0-290V 120mA 6.3V 3A 5V 2A\n- V9 = GZ34, T1 to B+1\n- C21 = 16uF 500V electrolytic, B+1 to gnd\n- R20 = 4k7 5W, B+1 to B+2\n- R21 = 22k 5W, B+2 to gnd\n- V1A = ECC83, a R22 B+2, k R23, g R24\n- R22 = 100k\n- R23 = 1k5\n- R24 = 1M\n';

/** What is marked in the sheet as the source of the mains volts, of every figure that takes them. */
async function sourcesOf(readings: string): Promise<readonly string[]> {
  const text = `---\nmains: 230 V 50 Hz\n---\n# Job\n\n## As found\n\n${SUPPLY}\n${readings}`;
  const { amplifier } = await analyse(text);
  const inputs = amplifier.phases
    .flatMap((view) => [...view.figures, ...expectedFigures(view, amplifier)])
    .flatMap((figure) => figure.inputs)
    .filter(({ symbol, known }) => symbol === 'Vm' && known.quantity.value === 236);
  const marked = inputs.map(({ known: { source } }) =>
    source === undefined ? 'nowhere' : text.slice(source.span.start, source.span.end),
  );
  return [...new Set(marked)];
}

describe('the mains of a set', () => {
  it.each([
    ['{mains: 236 V}\n\n- B+2: 250 V\n', '236 V'],
    ['Mains {mains: 236 V}, dummy load.\n\n- B+2: 250 V\n', '236 V'],
    ['{mains: 236 V}\n\nin play, dummy load:\n\n- B+2: 250 V\n', '236 V'],
    ['mains 236 V, dummy load:\n\n- B+2: 250 V\n', 'mains 236 V'],
    ['- mains 236 V: B+2: 250 V\n', 'mains 236 V'],
    ['- B+2: 250 V (mains 236 V)\n', 'mains 236 V'],
  ])('%j is where it is written', async (readings, where) => {
    expect(await sourcesOf(readings)).toEqual([where]);
  });
});
