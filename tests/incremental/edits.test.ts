/**
 * Whatever is typed, what is known of a sheet after each edit is what reading everything anew would tell: every statement,
 * part, figure and finding, with its place in the text. Edits are drawn from a seed; `RUN_SLOW=1` draws twenty times as many, `RUN_SEED` others.
 */
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { memoryFiles } from '../../server/shop/files.ts';
import { createShop } from '../../server/shop/shop.ts';
import { edit, LARGE, SMALL, step, write } from './workshop.ts';

const SEED = Number(process.env.RUN_SEED ?? 20_261_125);
const IS_SLOW = process.env.RUN_SLOW !== undefined;
/** Sequences of some seven edits: a few hundred edits, or thousands, then mostly in whole amplifiers. */
const RUNS = IS_SLOW ? 600 : 28;

it('an edit leaves what reading everything anew gives', { timeout: 3_600_000 }, async () => {
  await fc.assert(
    fc.asyncProperty(
      fc.oneof(
        { weight: 24, arbitrary: fc.constantFrom(...SMALL) },
        { weight: IS_SLOW ? 40 : 1, arbitrary: fc.constantFrom(...LARGE) },
      ),
      fc.array(step, { minLength: 4, maxLength: 10 }),
      async ({ name, texts, looked, edited }, steps) => {
        const now: Record<string, string> = { ...texts };
        const shop = createShop({ files: memoryFiles(texts) });
        for (const uri of edited) shop.store.setOpen(uri, now[uri] ?? '', 0);
        await shop.analyse(looked);
        for (const [version, each] of steps.entries()) {
          const uri = edited[each.which % edited.length] ?? looked;
          now[uri] = edit(now[uri] ?? '', each);
          shop.store.setOpen(uri, now[uri], version + 1);
          const after = await shop.analyse(looked);
          const afresh = await createShop({ files: memoryFiles(now) }).analyse(looked);
          if (after === undefined || afresh === undefined) throw new Error('no analysis');
          const [got, wanted] = [write(after), write(afresh)];
          // Compared as text first: it is much quicker, and a difference is then shown in full.
          if (got !== wanted)
            expect(JSON.parse(got), `${name}, ${JSON.stringify(now)}`).toEqual(JSON.parse(wanted));
        }
      },
    ),
    { seed: SEED, numRuns: RUNS },
  );
});
