/** Volts beside farads behind a colon: a rating of capacitors is asked about, never taken for a reading. */
import { describe, expect, it } from 'vitest';
import { asFound, findFigure, sheetOf } from '../bench/bench.ts';

const problemsOf = (line: string) => sheetOf(`# Job\n\n## As found\n\n- ${line}\n`).problems;

describe('volts beside farads', () => {
  it('that capacitors are sold for are asked about, with both ways to say it', () => {
    const [problem, ...others] = problemsOf('C21: 47uF, 500V');
    expect(others).toEqual([]);
    expect(problem?.kind).toBe('value-ambiguous');
    expect(problem?.message).toContain('rated for');
    expect(problem?.offers?.map(({ edit }) => edit.text)).toEqual(['across 500V', ' =']);
    const view = asFound('C21 = 47uF 450V', 'C21: 47uF, 500V');
    expect(findFigure(view, 'C21', 'voltage')).toBeUndefined();
    expect(view.parts.get('C21')?.measured.map(({ quantity }) => quantity)).toEqual(['capacitance']);
  });

  it.each(['C21: 47uF, across 350 V', 'C21: 47uF, 372 V', 'C21: 350 V', 'R17: 470R, 50 V'])(
    'that cannot be that, or say what they are, are a reading: %s',
    (line) => {
      expect(problemsOf(line)).toEqual([]);
      const view = asFound(line);
      expect(view.readings.some(({ quantity }) => quantity === 'voltage')).toBe(true);
    },
  );

  it('without a comma are a specification, as they were', () => {
    expect(problemsOf('C21: 47uF 500V').map(({ kind }) => kind)).toEqual(['colon-for-equals']);
  });

  it('beside ohms are watts that resistors are sold for, comma or not', () => {
    expect(problemsOf('R17: 470R, 5W').map(({ kind }) => kind)).toEqual(['colon-for-equals']);
    const view = asFound('R17: 470R, 5W');
    expect(view.parts.get('R17')?.ratings.power?.quantity).toEqual({ value: 5, unit: 'W' });
    expect(view.readings).toEqual([]);
    // Nobody sells such a one: somebody worked it out.
    expect(problemsOf('R17: 470R, 2.14W')).toEqual([]);
  });
});

describe('two bare numbers with a slash between them', () => {
  it.each([
    ['C5 = 25/25, across R7', ['25uF 25V', '25+25uF']],
    ['C1 = 50/50', ['50uF 50V', '50+50uF']],
    ['C5 = 25/50', ['25uF 50V', '25+50uF']],
  ])('may be farads and volts, or two sections: %s', (line, ways) => {
    const [problem, ...others] = problemsOf(line);
    expect(others).toEqual([]);
    expect(problem?.kind).toBe('value-ambiguous');
    expect(problem?.offers.map(({ edit }) => edit.text)).toEqual(ways);
    expect(asFound(line).parts.get(line.slice(0, 2))?.value).toBeUndefined();
  });

  it.each(['C1 = 50/50 @ 500V', 'C1 = 50/50, 450V', 'C1 = 32/32', 'C1 = 16/450', 'C1 = 8/8uF'])(
    'say themselves what they are: %s',
    (line) => {
      expect(problemsOf(line)).toEqual([]);
    },
  );
});
