/** A node has one name: what a list takes for one, the cells of a table take for one, and nothing else. */
import { describe, expect, it } from 'vitest';
import { amplifierOf } from '../bench/bench.ts';

const ends = (text: string): readonly string[] =>
  [...(amplifierOf(text).phases[0]?.parts.get('R12')?.terminals.values() ?? [])].sort();

const inList = (node: string) => ends(`# Job\n\n## Parts\n\n- R12 = 56k, ${node} to gnd\n`);
const inColumns = (node: string) =>
  ends(
    `# Job\n\n## Parts\n\n| Ref | Value | From | To |\n| --- | --- | --- | --- |\n| R12 | 56k | ${node} | gnd |\n`,
  );
const inOneColumn = (node: string) =>
  ends(`# Job\n\n## Parts\n\n| Ref | Value | From |\n| --- | --- | --- |\n| R12 | 56k | ${node} to gnd |\n`);

describe('the name of a node', () => {
  it.each(['low', 'high', 'tail', 'mid', 'elevation', 'bias2', 'B+1', 'bias', 'V5.k'])(
    '%s is one wherever it is written',
    (node) => {
      expect(inList(node)).toEqual([node, 'gnd'].sort());
      expect(inColumns(node)).toEqual(inList(node));
      expect(inOneColumn(node)).toEqual(inList(node));
    },
  );

  it.each(['film', 'carbon', 'new', 'cathode', 'x'])('%s is none, wherever it is written', (word) => {
    expect(inList(word)).not.toContain(word);
    expect(inColumns(word)).not.toContain(word);
    expect(inOneColumn(word)).not.toContain(word);
  });

  it('is read as well as fitted', () => {
    const { phases } = amplifierOf(
      '# Job\n\n## As found\n\n- R12 = 56k, low to gnd\n- low: 28 V\n- B+1: 300 V\n',
    );
    const found = phases.find(({ phase }) => phase === 'as-found');
    expect(
      found?.figures.find(({ subject, figure }) => subject === 'R12' && figure === 'drop')?.quantity,
    ).toEqual({
      value: 28,
      unit: 'V',
    });
  });

  it('leaves low noise a kind', () => {
    const { phases } = amplifierOf(
      '# Job\n\n## As found\n\n- R12 = 56k 1W low noise metal film, V1A.a to B+3\n',
    );
    const part = phases[0]?.parts.get('R12');
    expect(part?.kinds.join(' ')).toContain('low');
    expect([...(part?.terminals.values() ?? [])]).toEqual(['V1A.a', 'B+3']);
  });
});
