/** Going through many things again after a change: only those are worked that ask for something that changed, and the result is the same. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ask, createLoop, noteAsked } from '../../server/sheet/asking.ts';
import { createGatherer, createPicker } from '../../server/text/picking.ts';
import { createWalk } from '../../server/text/walking.ts';

interface Valve {
  readonly ref: string;
}

describe('a loop over valves that ask for volts', () => {
  const valves: readonly Valve[] = ['V1', 'V2', 'V3'].map((ref) => ({ ref }));
  const volts = new Map([
    ['V1.a', 180],
    ['V3.a', 331],
  ]);
  const worked: string[] = [];
  const loop = createLoop<Valve, string>();
  const run = (touched: ReadonlySet<string> | 'all', of = valves): readonly string[] => {
    worked.length = 0;
    return loop.run(of, touched, ({ ref }) => {
      worked.push(ref);
      ask(`${ref}.a`);
      const read = volts.get(`${ref}.a`);
      return read === undefined ? [] : [`${ref} ${read} V`];
    });
  };

  it('works only those whose volts changed, and keeps their order', () => {
    const first = run('all');
    expect(first).toEqual(['V1 180 V', 'V3 331 V']);
    expect(run(new Set(['V9.a']))).toBe(first);
    expect(worked).toEqual([]);
    volts.set('V2.a', 250);
    expect(run(new Set(['V2.a']))).toEqual(['V1 180 V', 'V2 250 V', 'V3 331 V']);
    expect(worked).toEqual(['V2']);
    volts.delete('V1.a');
    expect(run(new Set(['V1.a']))).toEqual(['V2 250 V', 'V3 331 V']);
  });

  it('works what came, and forgets what went', () => {
    const more = [...valves, { ref: 'V4' }];
    expect(run(new Set(), more)).toEqual(['V2 250 V', 'V3 331 V']);
    expect(worked).toEqual(['V4']);
    volts.set('V1.a', 100);
    expect(run(new Set(['V1.a']), more.slice(1))).toEqual(['V2 250 V', 'V3 331 V']);
    expect(worked).toEqual([]);
  });

  it('takes nothing over from work that failed half-way', () => {
    const fails = (): readonly string[] => {
      throw new Error('half-way');
    };
    expect(() => loop.run(valves, new Set(['V2.a']), fails)).toThrow('half-way');
    expect(run(new Set())).toEqual(['V1 100 V', 'V2 250 V', 'V3 331 V']);
    expect(worked).toEqual(['V1', 'V2', 'V3']);
  });
});

it('what is asked for inside counts outside', () => {
  const outer = noteAsked(() => {
    ask('one');
    return noteAsked(() => ask('two')).asked;
  });
  expect([...outer.result]).toEqual(['two']);
  expect([...outer.asked]).toEqual(['one', 'two']);
});

it('picks of a list that was edited what a new look at all of it picks', () => {
  const edits = fc.array(
    fc.record({ at: fc.nat(30), gone: fc.nat(4), come: fc.array(fc.nat(99), { maxLength: 4 }) }),
  );
  fc.assert(
    fc.property(fc.array(fc.nat(99), { maxLength: 30 }), edits, (start, all) => {
      const pick = createPicker((n: number) => (n % 3 === 0 ? n : undefined));
      const thread = {};
      let list: readonly number[] = start;
      let before = pick(list, thread);
      for (const { at, gone, come } of all) {
        list = list.toSpliced(at, gone, ...come);
        const picked = pick(list, thread);
        const wanted = list.filter((n) => n % 3 === 0);
        expect(picked).toEqual(wanted);
        if (before.join() === wanted.join()) expect(picked).toBe(before);
        before = picked;
      }
    }),
    { seed: 20_261_125, numRuns: 200 },
  );
});

/** Lists of numbers after each of some edits. */
const editedLists = fc
  .tuple(
    fc.array(fc.nat(9), { maxLength: 30 }),
    fc.array(fc.record({ at: fc.nat(30), gone: fc.nat(4), come: fc.array(fc.nat(9), { maxLength: 4 }) })),
  )
  .map(([start, edits]) => {
    const lists: (readonly number[])[] = [start];
    for (const { at, gone, come } of edits) lists.push((lists.at(-1) ?? []).toSpliced(at, gone, ...come));
    return lists;
  });

it('gathers of a list that was edited all that its things give', () => {
  fc.assert(
    fc.property(editedLists, (lists) => {
      const gather = createGatherer((n: number) => Array.from({ length: n % 3 }, (_, i) => 10 * n + i));
      const thread = {};
      for (const list of lists) expect(gather(list, thread)).toEqual(gather(list, undefined));
    }),
    { seed: 20_261_125, numRuns: 200 },
  );
});

describe('a walk in which each thing is worked in the light of those before it', () => {
  /** Numbers with what is left of their sum by five. */
  const step = (n: number, before: number) => ({ result: `${n} behind ${before}`, known: (before + n) % 5 });
  const createSums = () => createWalk<number, number, string>((one, other) => one === other);

  it('gives after an edit what walking all of it gives', () => {
    fc.assert(
      fc.property(editedLists, (lists) => {
        const walk = createSums();
        const thread = {};
        for (const list of lists)
          expect(walk(list, thread, [], 0, step)).toEqual(createSums()(list, undefined, [], 0, step));
      }),
      { seed: 20_261_125, numRuns: 200 },
    );
  });

  it('goes no further than the edit reaches, but from the start where something beside is another', () => {
    const walk = createSums();
    const thread = {};
    const worked = (list: readonly number[], beside: string): readonly number[] => {
      const found: number[] = [];
      walk(list, thread, [beside], 0, (n, before, index) => {
        found.push(index);
        return step(n, before);
      });
      return found;
    };
    expect(worked([1, 2, 3, 4], 'a')).toEqual([0, 1, 2, 3]);
    expect(worked([1, 2, 8, 4], 'a')).toEqual([2]);
    expect(worked([1, 3, 8, 4], 'a')).toEqual([1, 2, 3]);
    expect(worked([1, 3, 8, 4], 'a')).toEqual([]);
    expect(worked([1, 3, 8, 4], 'b')).toEqual([0, 1, 2, 3]);
  });
});
