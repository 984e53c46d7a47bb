/** Suspects of amplifiers as they come to a bench: half written, standing where no data sheet tells of them, healthy or not. */
import { describe, expect, it } from 'vitest';
import { findExpected } from '../../server/bench/expected.ts';
import { sayFault } from '../../server/bench/suspect-words.ts';
import { findSuspects, type Suspicion } from '../../server/bench/suspects.ts';
import type { Phase } from '../../server/sheet/model.ts';
import { amplifierOf, viewOf } from './bench.ts';

function suspicionOf(text: string, phase: Phase = 'as-found'): Suspicion {
  const amplifier = amplifierOf(text);
  const found = findSuspects(viewOf(amplifier, phase), amplifier);
  if (!found.ok) throw new Error(found.reason);
  return found.value;
}

/** `R25 drifted`, each with what it leaves unexplained. */
const told = ({ suspects }: Suspicion) =>
  suspects.map(
    ({ subject, kind, unexplained }) =>
      `${subject} ${kind}${unexplained.length === 0 ? '' : `, not ${unexplained.map(({ name }) => name).join(', ')}`}`,
  );

const ULTRALINEAR = `---
mains: 240 V 50 Hz
---
- V5, V6 = KT88
- OT = output 4k5 : 4R 8R 16R 100W, V5.a V6.a, ct B+, UL taps V5.g2 V6.g2
- R40,R41 = 100R 2W, OT to V5.g2 V6.g2
- R50, R51 = 10R 1W, V5.k V6.k to gnd
- R44, R45 = 100k, V5.g V6.g to bias

## As found
mains 241
- B+ 531
- V5: a 527, g2 526, g -62, k 0.58
- V6: a 527, g2 526, g -61, k 0.55
- bias -62.5
`;

describe('screens that nothing written feeds', () => {
  it('stand where they were read, and nobody calls that reading wrong', () => {
    const suspicion = suspicionOf(ULTRALINEAR);
    expect(suspicion.readings).toBe(4);
    expect(told(suspicion)).toEqual([]);
    expect(suspicion.unexplained).toEqual([]);
  });

  it('are not expected at nothing', () => {
    const amplifier = amplifierOf(ULTRALINEAR);
    const view = viewOf(amplifier, 'as-found');
    expect(['OT', 'V5.g2', 'V6.g2'].map((name) => findExpected(view, amplifier, name))).toEqual([
      undefined,
      undefined,
      undefined,
    ]);
    expect(findExpected(view, amplifier, 'V5')?.quantity.value).toBeGreaterThan(0.03);
  });
});

const REVERB = `---
mains: 120 V 60 Hz
---
- V3 = 12AT7
- V3A.a = V3B.a
- V3A.k = V3B.k
- V3A.g = V3B.g
- T3 = output 22k : 8R 5W, V3A.a to B+1, TK1 on 8R
- TK1 = tank in 8R out 2k2, T3 to V4A.g
- R25 = 2k2 1W, V3A.k to gnd
- C25 = 25uF 25V, across R25
- R26 = 1M, V3A.g to gnd

## As found
- B+1 435
- V3A.a 432, k 14.9
- R25: 4k1, charred
- R25 -> 2k2 2W

## As left
- B+1 428, V3A: a 425, k 9.1
- R25: 2k2
`;

const FIXED = `---
mains: 240 V 50 Hz
---
- L1 = 5H 100R, B+ to B+2
- V4, V5 = EL34
- OT = output 3k4 : 4R 8R 16R 50W, V4.a V5.a, ct B+, LS1 on 16R
- R30, R31 = 1k 5W, B+2 to V4.g2 V5.g2
- R32, R33 = 1R 1W 1%, V4.k V5.k to gnd

## As left
- B+ 480
- V4: a 477 g2 470 g -39.9 k 36.5mV
- V5: a 477 g2 470 g -39.8 k 37.9mV
`;

const QUAD = `- V5-V8 = 6L6GC
- OT = output 2k2 : 4R 8R 16R 100W, V5.a V6.a to V7.a V8.a, ct B+1
- R51-R54 = 470R 5W, B+2 to V5.g2 V6.g2 V7.g2 V8.g2
- R61-64 = 1R 1W, V5.k V6.k V7.k V8.k to gnd
- V6.g = V5.g
- V8.g = V7.g

## As found
| Tube | Plate | Screen | Grid | mV |
|------|-------|--------|------|----|
| V5   | 462   | 458    | -49  | 33.1 |
| V6   | 462   | 460    | -49  | 0.2 |
| V7   | 462   | 458    | -49  | 34.8 |
| V8   | 462   | 458    | -49  | 31.9 |

- B+1 464, B+2 460
`;

describe('a valve far from the points that its model was held against', () => {
  it('is not gassy where a reverb driver at 425 V stands as the trade knows it, and its cathode resistor is found where it was bad', () => {
    expect(told(suspicionOf(REVERB, 'as-left'))).toEqual([]);
    expect(told(suspicionOf(REVERB))[0]).toMatch(/^R25 drifted/);
  });

  it('is expected in a band that says so, wider than among those points', () => {
    const expectedOf = (text: string) => {
      const amplifier = amplifierOf(text);
      return findExpected(viewOf(amplifier, 'as-left'), amplifier, 'V3A.k');
    };
    const width = (figure: ReturnType<typeof expectedOf>) =>
      ((figure?.high ?? 0) - (figure?.low ?? 0)) / (figure?.quantity.value ?? Number.NaN);
    const far = expectedOf(REVERB);
    const near = expectedOf(
      '# Job\n\n- V3A = 12AX7, a R4 B+1, k R5, g R6\n- R4 = 100k\n- R5 = 1k5\n- R6 = 1M\n\n## As left\n\n- B+1 278\n',
    );
    expect(width(far)).toBeGreaterThan(0.2);
    expect(far?.inputs.some(({ known }) => known.because?.includes('beyond the points'))).toBe(true);
    expect(near?.inputs.some(({ known }) => known.because?.includes('beyond the points'))).toBe(false);
  });

  it('accuses no valve and no sense resistor of a pair in fixed bias that draws less than the model has it', () => {
    expect(told(suspicionOf(FIXED, 'as-left'))).toEqual([]);
  });

  it('hides no valve of four that passes nothing', () => {
    const suspicion = suspicionOf(QUAD);
    expect(told(suspicion)[0]).toBe('V6 dead');
    expect(suspicion.suspects[0]?.weight).toBeGreaterThan(0.5);
  });
});

const CHOKE = `---
mains: 230 V 50 Hz
---
- T1 = mains 325-0-325 200mA 6.3V 4A 5V 3A
- V7 = GZ34, T1 to B+raw
- S2 = standby switch, B+raw to B+1
- R1 = 47R 5W across S2
- C1 = 47uF 500V, B+1 to gnd
- L1 = 4H 90R, B+1 to B+2
- C2 = 47uF 500V B+2 to gnd
- R3 = 10k 2W, B+2 to B+3
- C3 = 22uF 450V, B+3 gnd
- V4,5 = 6L6GC
- OT = output 6k6 : 8R, V4.a V5.a, ct B+1
- R5, R6 = 470R 5W, B+2 to V4.g2 V5.g2
- R7,R8 = 1R, V4.k V5.k

## As found
mains 231, out of standby
- B+1 468
- B+2 0.4
- B+3 0.1
- L1: OL
- V4 a 468 g2 0 g -46 k 0
- V5 a 468 g2 0 g -46 k 0

## Work
- L1 -> 4H 100R
- R1 47R: open

## As left
- B+1 441 B+2 437 B+3 362
- V4 a 438 g2 433 g -46 k 34mV
- V5 a 438 g2 433 g -46 k 36mV
`;

describe('a part that was measured open', () => {
  it('explains that what lies behind it is dead', () => {
    expect(told(suspicionOf(CHOKE))).toEqual(['L1 open']);
  });

  it('is open where it lies over a switch and carries nothing, not misread', () => {
    const suspicion = suspicionOf(CHOKE, 'as-left');
    const [first] = suspicion.suspects;
    expect(told(suspicion)[0]).toBe('R1 open');
    expect(first?.isMeasured).toBe(true);
    expect(first && sayFault(first, suspicion.view)).toBe('open');
  });
});
