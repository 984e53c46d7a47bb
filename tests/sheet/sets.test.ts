import { describe, expect, it } from 'vitest';
import type { Condition, Ref } from '../../server/dialect/tree.ts';
import type { Phase } from '../../server/sheet/model.ts';
import { createSetBook } from '../../server/sheet/sets.ts';
import { quantity, type Unit } from '../../server/units/si.ts';

const NOWHERE = { start: 0, end: 1 };

/** `condition('lamp', 60, 'W')`, `condition('out', 'V6')`. */
function condition(kind: Condition['kind'], ...said: readonly (string | number)[]): Condition {
  const [first, second] = said;
  const refs = typeof first === 'string' ? [ref(first)] : [];
  const value = typeof first === 'number' ? { value: quantity(first, second as Unit) } : {};
  return { kind, refs, ...value, words: [kind, ...said].join(' '), span: NOWHERE };
}

function ref(name: string): Ref {
  return { kind: 'ref', name, whole: name, class: 'valve', span: NOWHERE };
}

/** A bench session, step by step: each reading answers with its set. */
function session(nominalMains?: number) {
  const book = createSetBook(nominalMains);
  return {
    ...book,
    read: (phase: Phase, ...own: readonly Condition[]) => book.place(phase, own, NOWHERE, true),
    readMains: (phase: Phase, volts: number) => book.readMains(phase, volts, NOWHERE),
    measure: (phase: Phase, ...own: readonly Condition[]) => book.place(phase, own, NOWHERE, false),
    set: (id: number) => {
      const found = book.sets().find((each) => each.id === id);
      if (found === undefined) throw new Error(`no set ${id}`);
      return found;
    },
  };
}

describe('which readings were taken together', () => {
  it('those of one phase with nothing said', () => {
    const { read, set } = session();
    expect([read('as-found'), read('as-found'), read('as-left')]).toEqual([1, 1, 2]);
    expect(set(1)).toMatchObject({ phase: 'as-found', normal: true, limited: false, off: false });
  });

  it('those under standing conditions, until others stand or a heading comes', () => {
    const { read, stand, endStanding } = session();
    const before = read('as-found');
    stand([condition('lamp', 60, 'W')], 'as-found');
    const lamp = read('as-found');
    stand([condition('in-standby')], 'as-found');
    const standby = read('as-found');
    endStanding();
    expect([before, lamp, standby, read('as-found')]).toEqual([1, 2, 3, 1]);
  });

  it('those of equal conditions, whatever their order and wherever they stand', () => {
    const { read, stand } = session();
    stand([condition('dummy-load', 8, 'Ohm'), condition('warm-up', 1200, 's')], 'as-found');
    const first = read('as-found');
    stand([condition('warm-up', 1200, 's'), condition('dummy-load', 8, 'Ohm')], 'as-found');
    expect(read('as-found')).toBe(first);
    stand([], 'as-found');
    expect(read('as-found', condition('dummy-load', 8, 'Ohm'), condition('warm-up', 1200, 's'))).toBe(first);
    expect(read('as-found', condition('dummy-load', 8, 'Ohm'), condition('warm-up', 2400, 's'))).not.toBe(
      first,
    );
  });

  it('a condition of one tag is for that tag alone, on top of what stands', () => {
    const { read, stand, set } = session();
    stand([condition('dummy-load', 8, 'Ohm')], 'as-found');
    const [plain, lifted, again] = [
      read('as-found'),
      read('as-found', condition('lifted', 'C14')),
      read('as-found'),
    ];
    expect(again).toBe(plain);
    expect(set(lifted).conditions.map(({ kind }) => kind)).toEqual(['dummy-load', 'lifted']);
    expect(set(lifted).normal).toBe(false);
  });

  it('a condition replaces the one it excludes', () => {
    const { read, stand, set } = session();
    stand([condition('in-standby'), condition('no-load')], 'as-found');
    const id = read('as-found', condition('in-play'), condition('speaker'));
    expect(set(id).conditions.map(({ kind }) => kind)).toEqual(['in-play', 'speaker']);
  });

  it('two parts lifted are two conditions, two settings of one pot one', () => {
    const { read, stand, set } = session();
    stand([condition('lifted', 'C14'), condition('lifted', 'C15')], 'as-found');
    expect(set(read('as-found')).conditions).toHaveLength(2);
    stand([{ ...condition('setting', 'VR3'), value: quantity(3, '1') }], 'as-found');
    const id = read('as-found', { ...condition('setting', 'VR3'), value: quantity(7, '1') });
    expect(set(id).conditions.map(({ value }) => value?.value)).toEqual([7]);
  });

  it('`same conditions` are the last of normal running, and the mains is not among them', () => {
    const { read, stand, endStanding, set } = session();
    stand([condition('dummy-load', 8, 'Ohm'), condition('mains', 236, 'V')], 'as-found');
    read('as-found');
    stand([condition('lamp', 60, 'W')], 'as-found');
    read('as-found');
    endStanding();
    stand([condition('same')], 'as-left');
    const left = set(read('as-left'));
    expect(left.conditions.map(({ kind }) => kind)).toEqual(['dummy-load']);
    expect(left.mains).toBeUndefined();
  });
});

describe('the mains', () => {
  it.each([
    [236, 239, 'is the same set', 1],
    [236, 243, 'is the same set: 3.0 % is not more than 3 %', 1],
    [236, 243.1, 'is another set', 2],
    [236, 228, 'is another set', 2],
  ])('%d V, then %d V %s', (first, then, _words, id) => {
    const { read, readMains } = session();
    readMains('as-found', first);
    read('as-found');
    readMains('as-found', then);
    expect(read('as-found')).toBe(id);
  });

  it('read behind the first readings holds for them too, the last in a set counts', () => {
    const { read, readMains, set } = session();
    const id = read('as-found');
    readMains('as-found', 236);
    expect(read('as-found')).toBe(id);
    expect(set(id).mains).toEqual({ value: 236, unit: 'V' });
    readMains('as-found', 238);
    expect(set(read('as-found')).mains?.value).toBe(238);
  });

  it('never carries into another phase, and is compared only within one', () => {
    const { read, readMains, set } = session();
    readMains('as-found', 236);
    read('as-found');
    const left = read('as-left');
    expect(set(left).mains).toBeUndefined();
    readMains('as-left', 118);
    expect(read('as-left')).toBe(left);
    expect(set(left).mains?.value).toBe(118);
  });

  it('written at one tag is for that tag alone', () => {
    const { read, readMains, set } = session();
    readMains('as-found', 236);
    const near = read('as-found', condition('mains', 235, 'V'));
    const far = read('as-found', condition('mains', 220, 'V'));
    expect(read('as-found')).toBe(near);
    expect(far).not.toBe(near);
    expect(set(far).mains?.value).toBe(220);
    expect(set(near).mains?.value).toBe(236);
  });
});

describe('what a set is good for', () => {
  it.each([
    ['lamp', { limited: true, off: false, normal: false }],
    ['off', { limited: false, off: true, normal: false }],
    ['discharged', { limited: false, off: true, normal: false }],
    ['in-standby', { limited: false, off: false, normal: false }],
    ['clipping', { limited: false, off: false, normal: false }],
    ['cold', { limited: false, off: false, normal: false }],
    ['hot', { limited: false, off: false, normal: true }],
    ['in-play', { limited: false, off: false, normal: true }],
    ['speaker', { limited: false, off: false, normal: true }],
  ] as const)('%s', (kind, flags) => {
    const { read, set } = session();
    expect(set(read('as-found', condition(kind)))).toMatchObject(flags);
  });

  it('a valve out, a part lifted or valves swapped are evidence, not normal running', () => {
    const { read, set } = session();
    for (const kind of ['out', 'lifted', 'swapped'] as const)
      expect(set(read('as-found', condition(kind, 'V6'))).normal).toBe(false);
  });

  it.each([
    [120, 230, true],
    [225, 230, false],
    [120, 120, false],
    [120, undefined, true],
  ])('a variac at %d V on %s V mains: limited is %s', (volts, nominal, limited) => {
    const { read, set } = session(nominal);
    expect(set(read('as-found', condition('variac', volts, 'V'))).limited).toBe(limited);
  });

  it('part measurements alone say nothing of normal running', () => {
    const { measure, read, set } = session();
    const parts = measure('as-left');
    expect(set(parts).normal).toBe(false);
    expect(set(read('as-left')).normal).toBe(true);
  });
});

describe('what is no reading', () => {
  it('stands beside the readings of its conditions, else the phase’s last, else none', () => {
    const { read, stand, beside } = session();
    expect(beside('as-found', [])).toBe(0);
    stand([condition('dummy-load', 8, 'Ohm')], 'as-found');
    const load = read('as-found');
    stand([condition('lamp', 60, 'W')], 'as-found');
    const lamp = read('as-found');
    expect(beside('as-found', [])).toBe(lamp);
    stand([condition('dummy-load', 8, 'Ohm')], 'as-found');
    expect(beside('as-found', [])).toBe(load);
    stand([condition('no-load')], 'as-found');
    expect(beside('as-found', [])).toBe(lamp);
    expect(beside('as-left', [])).toBe(0);
  });
});
