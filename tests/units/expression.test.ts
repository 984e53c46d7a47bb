/** Questions as a technician asks them, and what must never get through. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { evaluateQuestion, type ResolvedName } from '../../server/units/expression.ts';
import type { Unit } from '../../server/units/si.ts';
import { writeQuantity } from '../../server/units/write.ts';

const known: Readonly<Record<string, readonly [number, Unit, number?, number?]>> = {
  'B+': [350, 'V'],
  'B+1': [331, 'V'],
  'B-': [-50, 'V'],
  'HT+': [400, 'V'],
  'V1A.a': [180, 'V'],
  'V5.k': [20, 'V', 19.5, 20.5],
  R6: [100e3, 'Ohm', 95e3, 105e3],
  R7: [100e3, 'Ohm'],
  R8: [470, 'Ohm', 446.5, 493.5],
  R9: [0, 'Ohm'],
  C1: [22e-9, 'F'],
  L1: [10, 'H'],
  Q: [90e3, 'Ohm', 80e3, 101e3],
};

function resolve(name: string): ResolvedName {
  const entry = Object.hasOwn(known, name) ? known[name] : undefined;
  if (entry === undefined) return { refused: `${name} is not known here` };
  const [value, unit, low, high] = entry;
  if (low === undefined || high === undefined) return { quantity: { value, unit } };
  return { quantity: { value, unit }, low, high };
}

/** The answer as people read it, or the refusal with the stretch of the question that it is about. */
function ask(question: string): string {
  const answer = evaluateQuestion(question, resolve);
  if (answer.ok) return writeQuantity(answer.quantity).replace('\u00a0', ' ');
  return `${answer.reason} \u27e6${question.slice(answer.span.start, answer.span.end)}\u27e7`;
}

describe('what is answered', () => {
  test.each([
    ['(B+1 - V1A.a) / R6', '1.51 mA'],
    ['B+ + 1 V', '351 V'],
    ['B+1 + 1 V', '332 V'],
    ['B+-V1A.a', '170 V'],
    ['B+ \u2212 V1A.a', '170 V'],
    ['B- + 5 V', '-45 V'],
    ['HT+ - V5.k', '380 V'],
    ['V5.k / R8', '42.6 mA'],
    ['V5.k^2 / R8', '0.851 W'],
    ['R6 || R7', '50 k\u03a9'],
    ['R6//R7', '50 k\u03a9'],
    ['R6 || R7 + 1k', '51 k\u03a9'],
    ['2 * R6 || R7', '100 k\u03a9'],
    ['100 V / 4k7', '21.3 mA'],
    ['R6*C1', '2.2 ms'],
    ['1/(2*pi*R6*C1)', '72.3 Hz'],
    ['1/(2*π*R6*C1)', '72.3 Hz'],
    ['20*log10(B+/V1A.a)', '5.78'],
    ['sqrt(5W*8R)', '6.32 V'],
    ['max(R6, 220k) \u00f7 2', '110 k\u03a9'],
    ['min(V5.k, 15 V, 30 V)', '15 V'],
    ['abs(-5 V)', '5 V'],
    ['1,5*2', '3'],
    ['10uF*4k7', '47 ms'],
    ['C1 || 22n', '44 nF'],
    ['100uF*(450V)^2/2', '10.1 J'],
    ['10 V-20 V', '-10 V'],
    ['5%*100V', '5 V'],
    ['L1 / R6', '100 \u00b5s'],
    ['2^-1', '0.5'],
    ['&minus;5 V &times; 2', '-10 V'],
  ])('%s is %s', (question, answer) => expect(ask(question)).toBe(answer));
});

describe('what is refused, and where', () => {
  test.each([
    ['V1A.a + R6', 'volts and ohms cannot be added \u27e6V1A.a + R6\u27e7'],
    ['B+ + 1', 'volts and a plain number cannot be added \u27e6B+ + 1\u27e7'],
    ['B-5', 'B-5 is not known here \u27e6B-5\u27e7'],
    ['2 * (V5.x + 1 V)', 'V5.x is not known here \u27e6V5.x\u27e7'],
    ['V5.k / R9', 'a division by zero \u27e6R9\u27e7'],
    ['V5.k / (R7 - 100k)', 'a division by zero \u27e6R7 - 100k\u27e7'],
    ['sqrt(0 V - V5.k)', 'the square root of a negative number \u27e60 V - V5.k\u27e7'],
    ['(-2)^0.5', 'a root of a negative number \u27e62)^0.5\u27e7'],
    ['log10(0)', 'the logarithm of a number that is not above zero \u27e60\u27e7'],
    ['log10(V5.k)', 'a logarithm takes a ratio, not volts \u27e6V5.k\u27e7'],
    ['V5.k * R8', 'the answer would be in V^2\u00b7A^-1, which is no unit used here \u27e6V5.k * R8\u27e7'],
    [
      'V5.k || V1A.a',
      '|| takes resistors, capacitors or chokes of one kind, not volts and volts \u27e6V5.k || V1A.a\u27e7',
    ],
    ['R6^2 || R7', 'write brackets, so that it can only be read one way \u27e6R6^2 || R7\u27e7'],
    ['R6 R7', 'a sign is missing before R7 (multiplication is written) \u27e6R7\u27e7'],
    [
      '1,500 V',
      '1,500 V is 1500\u00a0V or 1.5\u00a0V: the comma may be a decimal comma or group thousands \u27e61,500 V\u27e7',
    ],
    ['2^1e9', 'a power above 100 \u27e61e9\u27e7'],
    ['V5.k^9', 'a power above 8 \u27e69\u27e7'],
    ['2^V5.k', 'a power is a plain number, not volts \u27e6V5.k\u27e7'],
    ['max(V5.k, R6)', 'max takes values of one kind, not volts and ohms \u27e6V5.k, R6\u27e7'],
    ['sqrt(4, 2)', 'sqrt takes one value \u27e64, 2\u27e7'],
    ['5 +', 'something is missing after + \u27e6+\u27e7'],
    ['(5', 'this bracket is not closed \u27e6(\u27e7'],
    ['5)', 'this bracket was never opened \u27e6)\u27e7'],
    ['4 , 5', 'a comma belongs between the values of min( ) or max( ) \u27e6,\u27e7'],
  ])('%s', (question, refusal) => expect(ask(question)).toBe(refusal));
});

test('hostile questions are refused before anything is computed', () => {
  const hostile = [
    '1:1e9999',
    '1:999999999999999999',
    '('.repeat(5000),
    `${'('.repeat(100)}1${')'.repeat(100)}`,
    'import',
    'import({a: 1}, {override: true})',
    'createUnit("x")',
    'x = 5',
    'f(x) = x',
    'q0',
    'evaluate("1+1")',
    'cos.constructor("return process")()',
    'constructor',
    '__proto__',
    '[1, 2, 3][1]',
    '{a: 1}.a',
    '"text"',
    '1 ? 2 : 3',
    '9'.repeat(399),
    '2^2^2^2^2^2^2',
    '170!',
    '1e400',
    '9e307 * 10 * 10',
    '',
    '\ud83d\udd25',
    '\ud83d',
    '\u0000',
  ];
  for (const question of hostile) {
    const answer = evaluateQuestion(question, resolve);
    expect(answer.ok, question.slice(0, 40)).toBe(false);
  }
});

describe('bounds', () => {
  test('an answer is as wide as its inputs make it, and one name is one value', () => {
    const current = evaluateQuestion('V5.k / R8', resolve);
    expect(current).toMatchObject({ low: 19.5 / 493.5, high: 20.5 / 446.5 });
    expect(evaluateQuestion('R6 / R6', resolve)).toMatchObject({ quantity: { value: 1 }, low: 1, high: 1 });
  });

  test('exact inputs give an exact answer', () => {
    const answer = evaluateQuestion('(B+1 - V1A.a) / R7', resolve);
    expect(answer.ok && answer.low === undefined && answer.high === undefined).toBe(true);
  });

  test('a divisor that may be zero has no answer', () => {
    expect(ask('1 V / (R7 - Q)')).toMatch(/^what it is divided by may be zero/);
  });

  test('more uncertain inputs than corners are counted for still give bounds', () => {
    const wide = (name: string): ResolvedName =>
      /^R\d+$/.test(name) ? { quantity: { value: 100, unit: 'Ohm' }, low: 95, high: 105 } : { refused: 'no' };
    const names = Array.from({ length: 10 }, (_, i) => `R${i + 1}`);
    const answer = evaluateQuestion(names.join(' + '), wide);
    expect(answer).toMatchObject({ quantity: { value: 1000 }, low: 950, high: 1050 });
  });

  test('a name known only from one side is refused', () => {
    const above = (): ResolvedName => ({ quantity: { value: 20e6, unit: 'Ohm' }, low: 20e6, high: Infinity });
    expect(evaluateQuestion('R1 / 2', above)).toMatchObject({ ok: false });
  });
});

test('inputs are named once, at their first place, and the formula has its spaces collapsed', () => {
  expect(evaluateQuestion('(B+1  -  V1A.a) / R7 + V1A.a/R7', resolve)).toMatchObject({
    formula: '(B+1 - V1A.a) / R7 + V1A.a/R7',
    inputs: [
      { name: 'B+1', span: { start: 1, end: 4 } },
      { name: 'V1A.a', span: { start: 9, end: 14 } },
      { name: 'R7', span: { start: 18, end: 20 } },
    ],
  });
});

test('no question throws, and no answer is NaN or infinite', () => {
  const pieces = [
    'B+',
    'B+1',
    'V5.k',
    'R6',
    'C1',
    '5 V',
    '4k7',
    '1e9',
    '0',
    '+',
    '-',
    '*',
    '/',
    '^',
    '||',
    '(',
    ')',
    ',',
    ' ',
    'sqrt',
    'max',
    'log10',
    '\ud83d',
    '&minus;',
    '.',
    '\u00b5',
  ];
  fc.assert(
    fc.property(fc.array(fc.constantFrom(...pieces), { maxLength: 24 }), (words) => {
      const text = words.join('');
      const answer = evaluateQuestion(text, resolve);
      if (answer.ok) {
        expect(Number.isFinite(answer.quantity.value)).toBe(true);
        expect((answer.low ?? 0) <= (answer.high ?? 0)).toBe(true);
      } else {
        expect(answer.span.start).toBeGreaterThanOrEqual(0);
        expect(answer.span.end).toBeLessThanOrEqual(text.length);
      }
    }),
    { seed: 7, numRuns: 400 },
  );
});
