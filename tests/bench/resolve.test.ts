/** What is fitted when: the chassis sheet under a job, what was found, what was done, and what then is. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { PhaseView } from '../../server/bench/model.ts';
import { resolveAmplifier } from '../../server/bench/resolve.ts';
import { builtInCatalogue } from '../../server/catalogue/find-valve.ts';
import { amplifierOf, asFound, figureOf, findFigure, linesOf, sheetOf, viewOf } from './bench.ts';

const CHASSIS = `---
sheet: chassis
model: Larch 20
mains: 230 V 50 Hz
---
- V4, V5 = 6V6GT
- R17 = 470R 5W wirewound, V4.k V5.k to gnd
- C31 = 100uF 50V electrolytic date 1998, across R17
- C12 = 10uF 25V electrolytic, V1A.k to gnd
- B+1: 352 V
`;

const fitted = (view: PhaseView, ref: string): string => {
  const part = view.parts.get(ref);
  if (part === undefined) return 'not there';
  const { value, ratings, kinds, terminals, since } = part;
  const rated = [ratings.voltage, ratings.power].flatMap((each) =>
    each ? [`${each.quantity.value}${each.quantity.unit}`] : [],
  );
  const written =
    value === undefined ? '' : `${Number(value.quantity.value.toPrecision(6))}${value.quantity.unit}`;
  return [written, ...rated, ...kinds, `at ${[...terminals.values()].join(' ')}`, since]
    .filter((each) => each !== '')
    .join(' ');
};

describe('a job on a chassis sheet', () => {
  const amplifier = amplifierOf(
    `# Job

## As found

- R17 = 330R 2W

## Work

- C12 -> 1uF 50V film
- C31 -> removed
- R17 -> resoldered
- [ ] C40 = 22uF 500V

## As left

- V5: a 349, k 20.3
`,
    CHASSIS,
  );
  const [factory, found, work, left] = amplifier.phases;

  it('has the phases in order of time', () => {
    expect(amplifier.phases.map(({ phase }) => phase)).toEqual(['factory', 'as-found', 'work', 'as-left']);
  });

  it('overrides what was drawn by what was found, and keeps where it sits', () => {
    expect(factory && fitted(factory, 'R17')).toBe('470Ohm 5W wirewound at V4.k gnd factory');
    expect(found && fitted(found, 'R17')).toBe('330Ohm 2W at V4.k gnd as-found');
  });

  it('carries connections over a change, and nothing else', () => {
    expect(found && fitted(found, 'C12')).toBe('0.00001F 25V electrolytic at V1A.k gnd factory');
    expect(left && fitted(left, 'C12')).toBe('0.000001F 50V film at V1A.k gnd work');
  });

  it('takes out what was removed, and leaves what was only touched', () => {
    expect(found && fitted(found, 'C31')).toContain('0.0001F');
    expect(work && fitted(work, 'C31')).toBe('not there');
    expect(left && fitted(left, 'R17')).toBe('330Ohm 2W at V4.k gnd as-found');
  });

  it('lists the changes with what was and is, and the planned ones apart', () => {
    const said = amplifier.changes.map(({ ref, was, is, work: done, planned }) =>
      [ref, was?.value?.quantity.value, is?.value?.quantity.value, done, planned ? 'planned' : 'done'].join(
        ' ',
      ),
    );
    expect(said).toEqual([
      'C12 0.00001 0.000001  done',
      'C31 0.0001  removed done',
      'R17 330 330 resoldered done',
      'C40  0.000022  planned',
    ]);
    expect(left && fitted(left, 'C40')).toBe('not there');
  });

  it('keeps the chassis sheet’s voltages as what should be, in every phase', () => {
    expect(left?.nominals.map(({ at, value }) => `${at} ${value.quantity.value}`)).toEqual(['B+1 352']);
    expect(left?.readings.every(({ nominal }) => !nominal)).toBe(true);
  });

  it('points every figure at the sheet whose phase it is', () => {
    expect(findFigureFiles(factory)).toEqual(['file:///shop/chassis.tagstrip.md']);
    expect(findFigureFiles(left)).toEqual(['file:///shop/job.tagstrip.md']);
  });
});

function findFigureFiles(view: PhaseView | undefined): readonly string[] {
  return [...new Set(view?.figures.map(({ file }) => file))];
}

describe('a chassis sheet that has itself changed a part', () => {
  const changed = `${CHASSIS}- R17 = 470R 5W -> 390R 7W wirewound\n- C31 -> removed\n`;
  const job = `# Job

## As found

- R17: 2k3
- C31: 88uF

## Work

- R17 = 390R 7W -> 470R 10W
- C31 = 100uF 50V -> 100uF 63V

## As left

- V5: a 349, k 20.3
`;
  const [, found, , left] = amplifierOf(job, changed).phases;
  const measured = (view: PhaseView | undefined, ref: string) =>
    view?.parts.get(ref)?.measured.map(({ value }) => value.quantity.value);

  it('leaves what was read as found with the part that was found, whatever is said of what it was', () => {
    expect(measured(found, 'R17')).toEqual([2300]);
    expect(measured(left, 'R17')).toEqual([]);
  });

  it('does so of a part that it took out and that was there all the same', () => {
    expect(measured(found, 'C31')).toEqual([88e-6]);
    expect(measured(left, 'C31')).toEqual([]);
  });
});

describe('a chassis sheet alone', () => {
  it('has one phase, and figures of the voltages it gives', () => {
    const amplifier = amplifierOf(
      '---\nsheet: chassis\n---\n- V5 = 6V6GT\n- R17 = 470R 5W, V5.k to gnd\n- V5: a 331, g2 322, k 19.4\n',
    );
    expect(amplifier.phases.map(({ phase }) => phase)).toEqual(['factory']);
    expect(figureOf(viewOf(amplifier, 'factory'), 'V5', 'cathode-current')).toBeCloseTo(0.0413, 4);
    expect(viewOf(amplifier, 'factory').nominals.length).toBe(3);
  });

  it('inherits from the revision that it follows', () => {
    const before = sheetOf(
      '---\nsheet: chassis\nrevision: a\n---\n- R17 = 470R 5W, V5.k to gnd\n- R18 = 1k\n',
      'file:///shop/a.tagstrip.md',
    );
    const now = sheetOf(
      '---\nsheet: chassis\nrevision: b\n---\n- R17 = 330R 5W\n',
      'file:///shop/b.tagstrip.md',
    );
    const [view] = resolveAmplifier(now, undefined, builtInCatalogue, { follows: [before] }).phases;
    expect(view && fitted(view, 'R17')).toBe('330Ohm 5W at V5.k gnd factory');
    expect(view && fitted(view, 'R18')).toBe('1000Ohm at  factory');
  });

  it('applies nothing that it lists as differing in another revision', () => {
    const amplifier = amplifierOf(
      '---\nsheet: chassis\n---\n- R19 = 330R 5W, V3.k to gnd\n\n## Differs from revision a\n\n| Ref | Was | Now |\n| --- | --- | --- |\n| R19 | 360R 5W | 390R 5W |\n',
    );
    expect(fitted(viewOf(amplifier, 'factory'), 'R19')).toBe('330Ohm 5W at V3.k gnd factory');
    expect(amplifier.changes).toEqual([]);
  });
});

describe('a job without a chassis sheet', () => {
  it('learns what was there from what a change says', () => {
    const amplifier = amplifierOf(
      '# J\n\n## As found\n\n- B+1: 352 V\n\n## Work\n\n- C21 = 47uF 450V -> 47uF 500V electrolytic, B+1 to gnd\n\n## As left\n\n- B+1: 356 V\n',
    );
    expect(fitted(viewOf(amplifier, 'as-found'), 'C21')).toBe('0.000047F 450V at B+1 gnd as-found');
    expect(fitted(viewOf(amplifier, 'as-left'), 'C21')).toBe('0.000047F 500V electrolytic at B+1 gnd work');
    expect(figureOf(viewOf(amplifier, 'as-found'), 'C21', 'margin')).toBeCloseTo(1 - 352 / 450, 6);
    expect(figureOf(viewOf(amplifier, 'as-left'), 'C21', 'margin')).toBeCloseTo(1 - 356 / 500, 6);
  });

  it('leaves a part where it was said to sit before the arrow', () => {
    const amplifier = amplifierOf(
      '# J\n\n## Work\n\n- C40 = 22uF 160V, bias to gnd -> 22uF 100V\n\n## As left\n\n- bias: -41 V\n',
    );
    expect(fitted(viewOf(amplifier, 'as-left'), 'C40')).toBe('0.000022F 100V at bias gnd work');
    expect(figureOf(viewOf(amplifier, 'as-left'), 'C40', 'margin')).toBeCloseTo(0.59, 6);
  });

  it('reads what `=` says in the work as a change', () => {
    const amplifier = amplifierOf(
      '# J\n\n## As found\n\n- R17 = 470R, V5.k to gnd\n\n## Work\n\n- R17 = 330R 5W\n',
    );
    expect(
      amplifier.changes.map(({ ref, was, is }) => [
        ref,
        was?.value?.quantity.value,
        is?.value?.quantity.value,
      ]),
    ).toEqual([['R17', 470, 330]]);
    expect(fitted(viewOf(amplifier, 'work'), 'R17')).toBe('330Ohm 5W at V5.k gnd work');
  });

  it('reads what `=` says as left as a change, if it differs', () => {
    const amplifier = amplifierOf(
      '# J\n\n## As found\n\n- R17 = 470R, V5.k to gnd\n- V5 = 6V6GT\n\n## Work\n\n- V5 -> EL84\n\n## As left\n\n- R17 = 330R\n- V5 = EL84\n',
    );
    expect(amplifier.changes.map(({ ref }) => ref)).toEqual(['V5', 'R17']);
    expect(viewOf(amplifier, 'as-left').parts.get('V5')?.type?.valve?.type).toBe('EL84');
  });

  it('adds up what two lines of one phase say of a part, and marks what they disagree on', () => {
    const amplifier = amplifierOf(
      '# J\n\n## As found\n\n- R17 = 470R\n- R17 = 5W wirewound, V5.k to gnd\n- R18 = 1k\n- R18 = 2k2\n- V5 = 6V6GT\n- V5 6V6GT: a 331\n',
    );
    expect(fitted(viewOf(amplifier, 'as-found'), 'R17')).toBe('470Ohm 5W wirewound at V5.k gnd as-found');
    expect(amplifier.repeats.map(({ ref, phase }) => `${ref} ${phase}`)).toEqual(['R18 as-found']);
  });

  it('takes what was read on a part for that part until it is replaced', () => {
    const text =
      '# J\n\n## As found\n\n- R17 = 470R, V5.k to gnd\n- R17: 512R\n- R18 = 1k\n- R18: 1k3\n\n## Work\n\n- R18 -> 1k 1W\n- R18: 1001R\n\n## As left\n\n- V5.k: 19.4\n';
    const left = viewOf(amplifierOf(text), 'as-left');
    expect(left.parts.get('R17')?.measured.map(({ value }) => value.quantity.value)).toEqual([512]);
    expect(left.parts.get('R18')?.measured.map(({ value }) => value.quantity.value)).toEqual([1001]);
    expect(figureOf(left, 'R17', 'current')).toBeCloseTo(19.4 / 512, 6);
  });

  it('never takes a work phase’s reading for as left', () => {
    const amplifier = amplifierOf(
      '# J\n\n## Work\n\n- plug out: B+1: 4 V\n- V5 6V6GT: a 340, 42 mA\n\n## As left\n\n- V5: a 331, 38 mA\n',
    );
    expect(figureOf(viewOf(amplifier, 'as-left'), 'V5', 'cathode-current')).toBe(0.038);
    expect(viewOf(amplifier, 'work').readings.find(({ at }) => at === 'B+1')?.normal).toBe(false);
  });
});

describe('twins', () => {
  it('take their type from the whole valve or from either half', () => {
    const whole = asFound('V1 = 12AX7', 'V1A: a 181, k 1.4');
    expect(whole.parts.get('V1A')?.type?.valve?.type).toBe('12AX7');
    expect(whole.parts.get('V1A')?.whole).toBe('V1');
    const half = asFound('V1A = 12AX7, k R5', 'V1B = , k R6', 'R5, R6 = 1k5', 'V1B: k 1.5');
    expect(half.parts.get('V1A')?.type?.text).toBe('12AX7');
    expect(
      figureOf(asFound('V1A = 12AX7', 'R6 = 1k5, V1B.k to gnd', 'V1B: a 180, k 1.5'), 'V1B', 'anode-loading'),
    ).toBeCloseTo(0.1785, 3);
  });

  it('know their pins only once the sheet says so', () => {
    const lines = ['V1 = 12AX7', 'R5 = 1k5, V1A.k to gnd', 'V1: pin 6 180, pin 8 1.5'];
    expect(findFigure(asFound(...lines), 'V1A', 'anode-dissipation')).toBeUndefined();
    const said = asFound(...lines, '{V1A.a = V1.6}', 'R6 = 1k5, V1B.k to gnd', 'V1: pin 3 1.2');
    expect(figureOf(said, 'V1A', 'anode-dissipation')).toBeCloseTo(0.1785, 4);
    // The other half is what is left.
    expect(figureOf(said, 'V1B', 'cathode-current')).toBeCloseTo(0.0008, 6);
  });

  it('go by the shop’s convention where there is one', () => {
    const sheet = sheetOf(
      '# J\n\n## As found\n\n- V1 = 12AX7\n- R5 = 1k5, V1A.k to gnd\n- V1: pin 6 180, pin 8 1.5\n',
    );
    const [view] = resolveAmplifier(sheet, undefined, builtInCatalogue, {
      sections: { A: '1', B: '2' },
    }).phases;
    expect(view && figureOf(view, 'V1A', 'cathode-current')).toBeCloseTo(0.001, 6);
  });

  it('spoken of by pins alone are known by their base, and called by the pins', () => {
    const lines = [
      'V1 = 12AX7',
      'R4 = 100k, V1.6 to B+3',
      'R5 = 1k5, V1.8 to gnd',
      'B+3: 278',
      'V1: pin 6 181, pin 8 1.45, pin 1 150, pin 3 1.2',
    ];
    const view = asFound(...lines);
    expect(figureOf(view, 'V1 pins 6 7 8', 'cathode-current')).toBeCloseTo(0.000967, 6);
    expect(figureOf(view, 'V1 pins 6 7 8', 'anode-loading')).toBeCloseTo(0.1736, 4);
    expect(view.roles.get('R4')?.role).toBe('anode-load');
    // The other half has nothing said below it, and the places keep the names they were written by.
    expect(view.parts.get('V1 pins 1 2 3')?.terminals.get('k')).toBe('V1.3');
    expect(findFigure(view, 'V1 pins 1 2 3', 'cathode-current')).toBeUndefined();
    expect(view.circuit.nodeOf('V1.6')).toBe('V1.6');
    // In whatever order it is written, and on an octal base.
    const octal = asFound('V2: pin 5 140, pin 6 5.1', 'R9 = 1k, V2.6 to gnd', 'V2 = 6SN7GT');
    expect(figureOf(octal, 'V2 pins 4 5 6', 'cathode-current')).toBeCloseTo(0.0051, 6);
  });

  it('spoken of by pins alone go by the shop’s letters where it has them', () => {
    const sheet = sheetOf(
      '# J\n\n## As found\n\n- V1 = 12AX7\n- R5 = 1k5, V1.8 to gnd\n- V1: pin 6 180, pin 8 1.5\n',
    );
    const [view] = resolveAmplifier(sheet, undefined, builtInCatalogue, {
      sections: { A: '2', B: '1' },
    }).phases;
    expect(view && figureOf(view, 'V1B', 'cathode-current')).toBeCloseTo(0.001, 6);
  });

  it('single valves have their pins by the base', () => {
    const view = asFound('V5 = 6V6GT', 'R17 = 470R, V5.8 to gnd', 'V5: pin 3 331, pin 8 19.4');
    expect(figureOf(view, 'V5', 'cathode-current')).toBeCloseTo(0.0413, 4);
    expect(view.readings.map(({ at }) => at)).toEqual(['V5.a', 'V5.k']);
  });
});

describe('offers', () => {
  const worded = (...lines: readonly string[]) =>
    asFound(...lines).offers.map(({ ref, text, completes }) => `${ref}${text} (${completes})`);

  it('say where the one loose resistor belongs that would complete a current', () => {
    expect(worded('V5 = 6V6GT', 'R17 = 470R 5W', 'V5: a 331, k 19.4')).toEqual([
      'R17, V5.k to gnd (cathode-current)',
    ]);
    expect(worded('V5, V6 = 6V6GT', 'R18 = 250R 5W', 'V5: k 19.4', 'V6: k 19.4')).toEqual([
      'R18, V5.k V6.k to gnd (cathode-current)',
    ]);
    expect(worded('V5 = 6V6GT', 'R17 = 470R 5W, V5.k to gnd', 'C31 = 100uF 50V', 'V5: k 19.4')).toEqual([
      'C31, across R17 (shelf-low)',
    ]);
  });

  it('are silent where two fit, or none, or nothing is missing', () => {
    expect(worded('V5 = 6V6GT', 'R17 = 470R', 'R18 = 390R', 'V5: k 19.4')).toEqual([]);
    expect(worded('V5 = 6V6GT', 'R17 = 470k', 'V5: k 19.4')).toEqual([]);
    expect(worded('V5 = 6V6GT', 'R17 = 470R, V5.k to gnd', 'V5: k 19.4')).toEqual([]);
  });

  it('are never used by themselves, and stand behind what is written of the part', () => {
    const view = asFound('V5 = 6V6GT', 'R17 = 470R 5W', 'V5: a 331, k 19.4');
    expect(linesOf(view, 'V5', 'R17')).toEqual([]);
    const [offer] = view.offers;
    const text = '# Job\n\n## As found\n\n- V5 = 6V6GT\n- R17 = 470R 5W\n- V5: a 331, k 19.4\n';
    expect(offer && text.slice(0, offer.at.span.end).endsWith('470R 5W')).toBe(true);
    expect(
      offer && `${text.slice(0, offer.at.span.end)}${offer.text}`.endsWith('R17 = 470R 5W, V5.k to gnd'),
    ).toBe(true);
  });
});

describe('a sheet that is being written', () => {
  const whole = `---
mains: 230 V 50 Hz
---
# J

## As found

- V1A = 12AX7, a R4 B+3, k R5 C3, g R1, g R2 J1
- T1 = mains 290-0-290V 150mA 6.3V 4A
- V9 = GZ34, T1 to B+1
- C40 + C41 = 100uF 350V, B+1 to gnd
- T2 = output 8k : 4R 8R, V5.a V6.a, ct B+1, LS1 on 8R
- R18 = 250R 5W, V5.k V6.k to gnd
- VR2 = 1M log, V1A.a to gnd, wiper to V1B.g
- V5 6V6GT: a 331, g2 322, k 19.4
- B+1: 19 Vpp at 100 Hz
- C1: 31uF ESR 4R2
- {? (B+1 - V1A.a) / R6}

## Work

- C12 = 10uF 25V -> 1uF 50V film, across R5
- R18 -> removed
`;

  it('never fails, wherever it stops', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: whole.length }), fc.integer({ min: 0, max: 40 }), (at, cut) => {
        const amplifier = amplifierOf(whole.slice(0, at) + whole.slice(at + cut));
        for (const { figures } of amplifier.phases) {
          for (const { quantity } of figures) expect(Number.isFinite(quantity.value)).toBe(true);
        }
      }),
      { numRuns: 150, seed: 7 },
    );
  });
});

describe('a can', () => {
  it('is gone, both sections, where one capacitor was put in its place', () => {
    const amplifier = amplifierOf(
      '# Job\n\n## As found\n\n- C1 = 32+32uF 350V, B+1 B+2\n\n## Work\n\n- C1 -> 47uF 450V, B+1 to gnd\n- C6 = 33uF 450V, B+2 to gnd\n',
    );
    const capacitors = (phase: string) =>
      [...(amplifier.phases.find((view) => view.phase === phase)?.parts.values() ?? [])]
        .filter((part) => part.class === 'capacitor')
        .map(({ ref }) => ref)
        .sort();
    expect(capacitors('as-found')).toEqual(['C1A', 'C1B']);
    expect(capacitors('work')).toEqual(['C1', 'C6']);
  });
});
