/** Every way of saying where a part sits, and that the order of saying it makes no difference. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { asFound, linesOf } from './bench.ts';

const ends = (line: string, ref: string, ...more: readonly string[]): string =>
  [...(asFound(line, ...more).parts.get(ref)?.terminals ?? [])]
    .map(([terminal, node]) => `${terminal} ${node}`)
    .join(', ');

describe('where a part sits', () => {
  it.each([
    ['R17 = 470R, V5.k to gnd', 'R17', '1 V5.k, 2 gnd'],
    ['R17 = 470R, from V5.k to gnd', 'R17', '1 V5.k, 2 gnd'],
    ['R17 = 470R, V5.k', 'R17', '1 V5.k, 2 gnd'],
    ['R17 = 470R, V5.k to chassis', 'R17', '1 V5.k, 2 gnd'],
    ['R18 = 250R 5W, V5.k V6.k to gnd', 'R18', '1 V5.k, 2 gnd'],
    ['R7, R8 = 1k, V5.g2 V6.g2 to B+2', 'R8', '1 V6.g2, 2 B+2'],
    ['D1, D2 = 1N4007, T1 to B+1', 'D2', 'a T1, k B+1'],
    ['VR2 = 1M log, V1A.a to gnd, wiper to V1B.g', 'VR2', '1 gnd, 2 V1B.g, 3 V1A.a'],
    ['T2 = output 8k : 8R, V5.a V6.a, ct B+1', 'T2', 'ct B+1, p1 V5.a, p2 V6.a'],
    ['C40 + C41 = 100uF 350V, B+1 to gnd', 'C41', '1 C40+C41, 2 gnd'],
    ['R90 = 1k5 0.5W, VR4.3 to tail', 'R90', '1 VR4.3, 2 tail'],
    // Poles are ends: a capacitor said by them once had no volts across it.
    ['C20 = 47uF 450V, plus at B+1, minus at gnd', 'C20', '1 B+1, 2 gnd, minus gnd, plus B+1'],
    ['C21 = 8uF 100V, plus gnd, minus bias', 'C21', '1 gnd, 2 bias, minus bias, plus gnd'],
    ['C20 = 47uF 450V, plus at B+1', 'C20', '1 B+1, 2 gnd, plus B+1'],
    // As many places as parts are one each.
    ['R1, R2 = 220k 1W, B+1 to mid, mid to gnd', 'R1', '1 B+1, 2 mid'],
    ['R1, R2 = 220k 1W, B+1 to mid, mid to gnd', 'R2', '1 mid, 2 gnd'],
  ])('%s', (line, ref, wanted) => {
    expect(ends(line, ref)).toBe(wanted);
  });

  it('reads a stage line: a load, a resistor with its bypass, a leak, a stopper', () => {
    const stage = [
      'V1A = 12AX7, a R4 B+3, k R5 C3, g R1, g R2 J1',
      'R4 = 100k',
      'R5 = 1k5',
      'C3 = 22uF 25V',
      'R1 = 1M',
      'R2 = 68k',
    ];
    const view = asFound(...stage);
    const at = (ref: string) => [...(view.parts.get(ref)?.terminals.values() ?? [])].join(' ');
    expect(at('R4')).toBe('V1A.a B+3');
    expect(at('R5')).toBe('V1A.k gnd');
    expect(at('C3')).toBe('V1A.k gnd');
    expect(at('R1')).toBe('V1A.g gnd');
    expect(at('R2')).toBe('V1A.g J1');
  });

  it('puts a capacitor that two stage lines name between them', () => {
    const view = asFound('V1A = 12AX7, a C6', 'V1B = 12AX7, g C6', 'C6 = 22n');
    expect([...(view.parts.get('C6')?.terminals.values() ?? [])]).toEqual(['V1A.a', 'V1B.g']);
  });

  it('takes the free end of a part that is named as a point', () => {
    const at = (view: ReturnType<typeof asFound>, ref: string) =>
      [...(view.parts.get(ref)?.terminals.values() ?? [])].join(' ');
    const both = asFound('C6 = 22n, V1A.a to VR1', 'VR1 = 1M log, C6 to gnd, wiper to V1B.g');
    expect(at(both, 'C6')).toBe('V1A.a C6.2');
    expect(at(both, 'VR1')).toBe('gnd V1B.g C6.2');
    const one = asFound('C6 = 22n, V1A.a to VR1', 'VR1 = 1M log, vol to gnd, wiper to V1B.g');
    expect(at(one, 'C6')).toBe('V1A.a vol');
    const chain = asFound('R4 = 100k, V1A.a to R8', 'R8 = 10k, mid to B+3');
    expect(at(chain, 'R4')).toBe('V1A.a mid');
    const free = asFound('R8 = 10k, B+3', 'R4 = 100k, V1A.a to R8', 'R8 = 10k');
    expect(at(free, 'R4')).toContain('V1A.a');
  });

  it('ties two cathodes that two stage lines hang on one resistor', () => {
    const view = asFound('V5 = 6V6GT, k R18', 'V6 = 6V6GT, k R18', 'R18 = 250R');
    expect(view.circuit.nodeOf('V6.k')).toBe('V5.k');
    expect(view.roles.get('R18')?.serves).toEqual(['V5', 'V6']);
  });

  it('lays one resistor across two capacitors of a series pair over both of them', () => {
    const pair = 'C40 + C41 = 100uF 350V, B+1 to gnd';
    expect(ends('R50 = 470k, across C40 C41', 'R50', pair)).toBe('1 B+1, 2 gnd');
    expect(ends('R50 = 470k, across C41 C40', 'R50', pair)).toBe('1 B+1, 2 gnd');
    expect(ends('R50 = 470k, across C40', 'R50', pair)).toBe('1 B+1, 2 C40+C41');
    expect(ends('R50, R51 = 470k, across C40 C41', 'R51', pair)).toBe('1 C40+C41, 2 gnd');
    expect(ends('R50 = 470k, across C40, C41', 'R50', pair)).toBe('1 B+1, 2 gnd');
    expect(ends('R50 = 470k, across C40+C41', 'R50', pair)).toBe('1 B+1, 2 gnd');
    const wired = ['C40 = 100uF, B+1 to mid', 'C41 = 100uF, mid to gnd'];
    expect(ends('R50 = 470k, across C40 C41', 'R50', ...wired)).toBe('1 B+1, 2 gnd');
    expect(ends('R50 = 470k, across C41 C40', 'R50', ...wired)).toBe('1 gnd, 2 B+1');
    // Side by side is the same over either.
    const beside = ['C40 = 100uF, B+1 to gnd', 'C41 = 100uF, B+1 to gnd'];
    expect(ends('R50 = 470k, across C40 C41', 'R50', ...beside)).toBe('1 B+1, 2 gnd');
    // Two capacitors that are no string have nothing that lies over both.
    const apart = ['C40 = 100uF, B+1 to gnd', 'C41 = 100uF, B+2 to gnd'];
    expect(ends('R50 = 470k, across C40 C41', 'R50', ...apart)).toBe('1 B+1, 2 gnd');
  });

  it('joins what a wire joins, and a part across another', () => {
    const view = asFound('{V6.k = V5.k}', 'R17 = 470R, V6.k to gnd', 'C31 = 100uF 50V, across R17');
    expect(view.circuit.nodeOf('V6.k')).toBe('V5.k');
    expect([...(view.parts.get('C31')?.terminals.values() ?? [])]).toEqual(['V5.k', 'gnd']);
    expect(view.circuit.attached('V5.k').map(({ ref, terminal }) => `${ref}.${terminal}`)).toEqual([
      'C31.1',
      'R17.1',
      'V5.k',
      'V6.k',
    ]);
  });

  it('calls a node by its rail, and ground by its name', () => {
    const view = asFound('{V5.g2 = B+2}', '{V6.k = gnd}', 'R9 = 220k, V5.g to gnd');
    expect(view.circuit.nodeOf('V5.g2')).toBe('B+2');
    expect(view.circuit.nodeOf('V6.k')).toBe('gnd');
  });

  it('leaves a part unconnected that nothing is said of', () => {
    expect(ends('R17 = 470R 5W', 'R17')).toBe('');
    expect(asFound('R17 = 470R 5W').roles.get('R17')?.role).toBe('unknown');
  });
});

describe('the order of writing', () => {
  const lines = [
    'V5, V6 = 6V6GT',
    'V1A = 12AX7, a R4 B+3, k R5 C3, g R1',
    'R4 = 100k 0.5W',
    'R5 = 1k5',
    'C3 = 22uF 25V',
    'R1 = 1M',
    'R18 = 250R 5W, V5.k V6.k to gnd',
    'C18 = 100uF 50V, across R18',
    'R20 = 1k 3W, B+1 to B+2',
    'R21 = 10k 1W, B+2 to B+3',
    'C21 = 47uF 450V, B+1 to gnd',
    'C6 = 22n 400V, V1A.a to V5.g',
    'R9 = 220k, V5.g to gnd',
    'R41, R42 = 470R 1W, V5.g2 V6.g2 to B+2',
    '{V6.g = V6.1}',
    'T2 = output 8k : 4R 8R, V5.a V6.a, ct B+1',
    'B+1: 352',
    'B+2: 341',
    'B+3: 280',
    'V1A: a 181, k 1.45',
    'V5: a 348, g2 338, k 20.1',
    'V6: a 347, g2 336',
  ];
  const read = (order: readonly string[]) => {
    const view = asFound(...order);
    return {
      figures: [...linesOf(view)].sort(),
      roles: [...view.roles.values()].map(({ ref, role, because }) => `${ref} ${role} ${because}`).sort(),
      nodes: view.circuit.nodes,
    };
  };

  it('of a part’s two ends makes no difference either', () => {
    const turned = lines.map((line) => line.replace(/^([RC]\d+ = [^,]+), (\S+) to (\S+)$/, '$1, $3 to $2'));
    expect(turned).not.toEqual(lines);
    const figures = (order: readonly string[]) => read(order).figures;
    expect(figures(turned)).toEqual(figures(lines));
  });

  it('makes no difference within a phase', () => {
    const wanted = read(lines);
    expect(wanted.figures.length).toBeGreaterThan(40);
    const order = fc.shuffledSubarray(lines, { minLength: lines.length, maxLength: lines.length });
    fc.assert(
      fc.property(order, (shuffled) => {
        expect(read(shuffled)).toEqual(wanted);
      }),
      { numRuns: 25, seed: 20 },
    );
  });
});
