/** Words before `to` that say how or where, and are no node of anybody's. */
import { describe, expect, test } from 'vitest';
import { readItem } from '../../server/dialect/tag.ts';

const connectionsOf = (item: string) => {
  const tag = readItem(item, { start: 0, end: item.length })?.tag;
  return tag?.kind === 'fitted' ? tag.connections.length : undefined;
};

describe('no connection', () => {
  test.each([
    'R30 = 220k, wired to gnd',
    'C5 = 22n 400V, close to V5',
    'R3 = 10k, tied to gnd',
    'R3 = 10k, goes to B+1',
  ])('%s', (item) => {
    expect(connectionsOf(item)).toBe(0);
  });
});

describe('a connection', () => {
  test.each(['R30 = 220k, shared to gnd', 'R3 = 10k, tail to gnd', 'C5 = 22n, V1A.a to V2A.g, close to V5'])(
    '%s',
    (item) => {
      expect(connectionsOf(item)).toBe(1);
    },
  );
});

describe('a part that is said to be joined in words alone', () => {
  const told = (item: string) =>
    readItem(item, { start: 0, end: item.length })?.problems.map(
      ({ kind, span }) => `${kind} ${item.slice(span.start, span.end)}`,
    );

  test('is told to be connected nowhere', () => {
    expect(told('R30 = 220k, wired to gnd')).toEqual(['point-unknown wired to gnd']);
  });

  test.each([
    'R30 = 220k, close to V5',
    'R30 = 220k, V4A.g to gnd, wired to the old tag',
    'R30 = 220k, V4A.g to B+1, tied to gnd',
  ])('is not: %s', (item) => {
    expect(told(item)).toEqual([]);
  });
});
