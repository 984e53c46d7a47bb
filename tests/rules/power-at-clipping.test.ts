/** What a pair gives at clipping is held against what it could give, and that is the number told. */
import { expect, it } from 'vitest';
import { analyse } from '../support/check.ts';

it('tells the power that the pair could swing, and not the threshold that it fell under', async () => {
  // (294 V · 0.9 − 80 V) on each side of 8 kΩ: 2 · 184.6² / 8000 = 8.5 W.
  const { findings } = await analyse(
    '# Job\n\n- V3, V4 = 6V6GT\n- R15 = 270R 5W, V3.k V4.k to gnd\n- OT = output 8k : 8R 12W, V3.a V4.a, ct B+1, LS1 on 8R\n- LS1 = 8R 25W\n\n## As found\n\n- B+1 318\n- V3: a 314 g2 290 g 0 k 19.8\n- V4: a 313 g2 290 g 0 k 19.8\n- {OT.8R: 2.1 Vrms at 1 kHz} clipping\n',
  );
  const message = findings.find(({ rule }) => rule === 'power-low')?.message.replace(/\s/g, ' ') ?? '';
  expect(message).toContain('OT.8R gives 0.551 W at clipping');
  expect(message).toContain('some 8.54 W should be there');
});
