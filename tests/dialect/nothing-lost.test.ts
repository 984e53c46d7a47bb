/** A part's line in any order and with any names: each word of its author's is read, is kept as a remark, or is reported. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { readItem } from '../../server/dialect/tag.ts';

const PARTS = [
  {
    refs: ['R3', 'R3, R4', 'R12A'],
    values: ['100k', '4k7', '100M', '470R', '1M5', '820', '.22M', '2,2k', 'R47'],
  },
  {
    refs: ['C3', 'C3, C4', 'C40 + C41'],
    values: ['22n', '47uF', '100p', '.022', '32+32uF', '16uF/450V', '.1'],
  },
  { refs: ['L1'], values: ['10H', '10H 250R', '5H 90R 150mA'] },
  { refs: ['D3', 'D1-D4'], values: ['1N4007', 'UF4007'] },
  { refs: ['V5', 'V5, V6', 'V1A'], values: ['6V6GT', 'ECC83/12AX7', 'EL84'] },
  { refs: ['VR2'], values: ['1M log', '10k lin', '250k'] },
] as const;
const RATINGS = ['400V', '5W', '1/2W', '0.5 W', '@ 500V', '5%', '105C', '250mA', 'date 1998', '±10%'];
const KINDS = ['electrolytic', 'film', 'wirewound', 'carbon comp', 'blue', 'orange drop', 'NOS', 'matched'];
const POINTS = [
  'V1A.a',
  'V5.k',
  'V5 pin 8',
  'B+1',
  'B+',
  'HT',
  'gnd',
  'chassis',
  'bias',
  'tail',
  'feed',
  'in',
  'out',
  'mid',
  'ring',
  'g',
  'J1',
  'R17',
  'T1.1',
  'VR2.3',
  'standby',
  'x',
];
const REMARKS = [
  '(brown)',
  '(see photo 3)',
  '- as drawn',
  '- swapped from V6',
  'looks tired',
  '(hot)',
  'tag strip end',
];

const point = fc.constantFrom(...POINTS);
const clause = fc.oneof(
  { weight: 3, arbitrary: fc.tuple(point, point).map(([a, b]) => `${a} to ${b}`) },
  point.map((a) => a),
  fc.tuple(point, point).map(([a, b]) => `from ${a} to ${b}`),
  fc.tuple(point, point).map(([a, b]) => `${a} ${b}`),
  fc.constantFrom('across R17', 'across C40, C41', 'plus at B+1', 'wiper to V1B.g', 'in series', 'a R4 B+3'),
  fc.constantFrom(...RATINGS),
  fc.constantFrom(...KINDS),
  fc.constantFrom(...REMARKS),
);
const line = fc
  .constantFrom(...PARTS)
  .chain(({ refs, values }) =>
    fc.record({
      refs: fc.constantFrom<string>(...refs),
      sign: fc.constantFrom(' = ', ' -> ', '= ', ' = 1k -> '),
      value: fc.constantFrom<string>(...values),
      clauses: fc.array(fc.tuple(fc.constantFrom(' ', ', ', ', ', '; '), clause), { maxLength: 4 }),
    }),
  )
  .map(({ refs, sign, value, clauses }) => `${refs}${sign}${value}${clauses.flat().join('')}`);

/** Where something was read: the spans in the tree, but for those of what only holds others (a specification, a connection). */
function spansIn(node: unknown, found: { start: number; end: number }[] = []) {
  if (typeof node !== 'object' || node === null) return found;
  if ('start' in node && 'end' in node && typeof node.start === 'number' && typeof node.end === 'number') {
    found.push({ start: node.start, end: node.end });
    return found;
  }
  const holds = 'ratings' in node || ('kind' in node && HOLDING.has(String(node.kind)) && !('by' in node));
  for (const [key, child] of Object.entries(node)) if (!(holds && key === 'span')) spansIn(child, found);
  return found;
}

const HOLDING: ReadonlySet<string> = new Set(['ends', 'across', 'terminal', 'hangs']);

/** The words of a line that are nowhere to be found again. */
function lostIn(written: string): readonly string[] {
  const whole = `- ${written}`;
  const read = readItem(whole, { start: 2, end: whole.length });
  // Prose stays as it stands.
  if (read === undefined) return [];
  const { span: _, remark, ...said } = read.tag;
  const kept = spansIn([said, read.problems, remark?.span]);
  const isSpecified = (start: number) => kept.some((span) => span.start <= start && start < span.end);
  return (
    [...whole.slice(2).matchAll(/[\p{L}\p{N}.+/%]+/gu)]
      .filter(({ 0: word, index }) => !isSpecified(index + 2) && remark?.text.includes(word) !== true)
      .map(([word]) => word)
      // What joins clauses says nothing by itself.
      .filter((word) => !/^(?:and|in|series|to|from|at|across|\+)$/.test(word))
  );
}

test('each word of a part’s line is read, kept or reported', () => {
  fc.assert(
    fc.property(line, (written) => {
      expect(lostIn(written), written).toEqual([]);
    }),
    { seed: 20261, numRuns: 3000 },
  );
});
