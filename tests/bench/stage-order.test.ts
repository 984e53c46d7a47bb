/** The order of the stages as the signal meets them, whatever they are called. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { stagesInOrder } from '../../server/bench/stage-order.ts';
import { A, C } from '../shop/mods/alder.ts';
import { analyse } from '../support/check.ts';

async function order(text: string): Promise<readonly string[]> {
  const { amplifier } = await analyse(text);
  const view = amplifier.phases.at(-1);
  return view === undefined ? [] : stagesInOrder(view).map((stage) => stage.join(' '));
}

describe('stages', () => {
  it('are counted from the input jack, on a board with other numbers too', async () => {
    expect(await order(A)).toEqual(['V1A', 'V1B', 'V2']);
    expect(await order(C)).toEqual(['V2A', 'V2B', 'V1']);
  });

  it('stand side by side in a splitter and in a pair of output valves', async () => {
    const larch = readFileSync(
      new URL('../../samples/chassis/larch-20.b.tagstrip.md', import.meta.url),
      'utf8',
    );
    expect(await order(larch)).toEqual(['V1A', 'V1B', 'V2A V2B', 'V3 V4']);
  });

  it('go on behind a follower from its cathode', async () => {
    const follower = A.replace('- C4 = 22n 400V film, V1B.a to V2.g\n', '')
      .concat('- V4A = 12AX7, a B+3, k R30\n- R30 = 100k 1W, V4A.k to gnd\n- V1B.a = V4A.g\n')
      .concat('- C4 = 22n 400V film, V4A.k to V2.g\n');
    expect(await order(follower)).toEqual(['V1A', 'V1B', 'V4A', 'V2']);
  });

  it('are none where no input is written, and an output jack is none', async () => {
    expect(await order(A.replaceAll('J1', 'here'))).toEqual([]);
    expect(
      await order(`${A.replaceAll('J1', 'here')}- R50 = 47k 0.5W, T2.8R to J2\n- R51 = 1k, J2 to V1A.k\n`),
    ).toEqual([]);
  });
});
