/** Going through many things again after a change: only those are worked that ask for something that changed, and the result is the same. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ask, createLoop, noteAsked } from '../../server/sheet/asking.ts';
import { createPicker } from '../../server/text/picking.ts';

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
