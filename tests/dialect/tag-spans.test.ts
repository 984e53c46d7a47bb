/** Where each thing stands in the sheet: spans are exact, over wrapped lines, quotes, other signs and wide characters. */
import { expect, test } from 'vitest';
import { findConditions } from '../../server/dialect/conditions.ts';
import { readValueFor } from '../../server/dialect/reading-cell.ts';
import { scanRefList } from '../../server/dialect/references.ts';
import { readSpecification } from '../../server/dialect/specification.ts';
import { readItem, readTag } from '../../server/dialect/tag.ts';
import { showSpecification, showTag, showValue } from './tag-show.ts';

/** Every span of a tree by the names that lead to it, with the text it covers. */
function slices(text: string, node: unknown, path: readonly string[] = []): string[] {
  if (typeof node !== 'object' || node === null) return [];
  if ('start' in node && 'end' in node && typeof node.start === 'number' && typeof node.end === 'number') {
    return [`${path.join('.')} “${text.slice(node.start, node.end)}”`];
  }
  return Object.entries(node).flatMap(([key, value]) =>
    slices(text, value, key === 'span' ? path : [...path, key]),
  );
}

function bracesIn(text: string): ReturnType<typeof readTag> {
  const start = text.indexOf('{');
  const end = text.lastIndexOf('}') + 1;
  return readTag(text, { start: start + 1, end: end - 1 }, { start, end }, 'braces');
}

test('a fitted part in running text', () => {
  const text = '🔥 then {R17 = 470R 5W, V5.k to gnd} went in';
  expect(slices(text, bracesIn(text).tag)).toEqual([
    'refs.0 “R17”',
    'specification “470R 5W”',
    'specification.values.0.value “470R”',
    'specification.ratings.0.value.value “5W”',
    'specification.ratings.0 “5W”',
    'connections.0.from.0.ref “V5”',
    'connections.0.from.0 “V5.k”',
    'connections.0.to.0 “gnd”',
    'connections.0 “V5.k to gnd”',
    ' “{R17 = 470R 5W, V5.k to gnd}”',
  ]);
});

test('electrodes of one valve', () => {
  const text = 'So {V5: a 331, k 19.4} it reads.';
  expect(slices(text, bracesIn(text).tag)).toEqual([
    'items.0.at.ref “V5”',
    'items.0.at “a”',
    'items.0.values.0.value “331”',
    'items.0 “a 331”',
    'items.1.at.ref “V5”',
    'items.1.at “k”',
    'items.1.values.0.value “19.4”',
    'items.1 “k 19.4”',
    ' “{V5: a 331, k 19.4}”',
  ]);
});

test.each([
  ['a soft line break', '{R17 = 470R\n   5W, V5.k to gnd}'],
  ['a line break of Windows', '{R17 = 470R\r\n5W, V5.k to gnd}'],
  ['a quote', '> {R17 = 470R\n> 5W, V5.k\n> to gnd}'],
  ['no-break spaces', '{R17\u00a0= 470R\u00a05W, V5.k to gnd}'],
])('%s is a space', (_, text) => {
  const { tag, problems } = bracesIn(text);
  expect(showTag(tag)).toBe('fitted R17 = 470 Ω, power 5 W [V5.k - gnd]');
  expect(problems).toEqual([]);
  expect(slices(text, tag)).toContain('connections.0.to.0 “gnd”');
});

test('a sign with another spelling keeps its author’s spelling and place', () => {
  const text = '{V5.g: −38&nbsp;V → −36 V}';
  const { tag } = bracesIn(text);
  expect(showTag(tag)).toBe('reading V5.g voltage -38 V then -36 V');
  expect(slices(text, tag)).toContain('items.0.values.0.value “−38&nbsp;V”');
  expect(slices(text, tag)).toContain('items.0.then.value “−36 V”');
});

test('an item with its remark, and with a braced tag in the remark', () => {
  const text = '- B+1: 11 Vpp, better than {B+1: 19 Vpp} was';
  const read = readItem(text, { start: 2, end: text.length });
  expect(slices(text, read?.tag.remark)).toEqual([' “better than {B+1: 19 Vpp} was”']);
});

test('conditions beside a tag of the mains', () => {
  const text =
    'Mains {mains: 236 V}, dummy load, twenty minutes warm. {B+1: 352 V} with {B+1: 19 Vpp} on it. Hot, too.';
  const found = findConditions(text, { start: 0, end: text.length });
  expect(found.map(({ kind, span }) => `${kind} “${text.slice(span.start, span.end)}”`)).toEqual([
    'dummy-load “dummy load”',
    'warm-up “twenty minutes warm”',
  ]);
});

test.each([
  ['331', undefined, 'V5 ambiguous'],
  ['38', 'mA', 'current 38 mA*'],
  ['22', 'mV', 'voltage 22 mV*'],
  ['184 (192)', 'V', 'voltage 184 V* should be 192 V*'],
  ['-', 'V', 'not read'],
  ['–', undefined, 'not read'],
  ['?', 'V', 'not read'],
  ['n/a', 'V', 'not read'],
  ['', 'V', 'not read'],
  ['38 mA (hot)', undefined, 'current 38 mA, remark (hot)'],
])('a chart’s cell “%s” in %s', (cell, unit, understood) => {
  const valve = scanRefList('V5', 0)?.refs[0];
  if (valve === undefined) throw new Error('V5 is a ref');
  const text = `| V5 | ${cell} |`;
  const read = readValueFor(valve, unit, text, { start: 7, end: 7 + cell.length });
  const [value] = read?.item.values ?? [];
  const shown =
    read === undefined || value === undefined
      ? 'not read'
      : value.kind === 'ambiguous'
        ? `${valve.name} ambiguous`
        : `${read.item.quantity} ${showValue(value)}`;
  const reference = read?.reference === undefined ? '' : ` should be ${showValue(read.reference)}`;
  const remark = read?.remark === undefined ? '' : `, remark ${read.remark.text}`;
  expect(shown + reference + remark).toBe(understood);
});

test('a parts list’s cell', () => {
  const text = '| C21 | 47uF 450V electrolytic, original |';
  const read = readSpecification('capacitor', text, { start: 8, end: text.length - 2 });
  expect(read && showSpecification(read.specification)).toBe('47 µF, voltage 450 V, electrolytic original');
  expect(read && slices(text, read.specification.values)).toEqual(['0.value “47uF”']);
});
