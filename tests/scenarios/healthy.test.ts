/**
 * Amplifiers in good order, as different benches write them: nothing may be warned of. Amplifiers and readings are invented;
 * the readings follow from Ohm's law on the parts and stay near published operating points.
 */
import { describe, expect, it } from 'vitest';
import { analyse } from '../support/check.ts';

const SINGLE_ENDED = `---
job: 311
received: 2026-02-03
mains: 230 V 50 Hz
---
# Bramble 5

## As found

- T1 = mains 250-0-250V 90mA 6.3V 3A
- V3 = EZ81, T1 to B+1
- C10 = 32uF 450V electrolytic date 2016, B+1 to gnd
- R10 = 1k 5W, B+1 to B+2
- C11 = 32uF 450V electrolytic date 2016, B+2 to gnd
- R11 = 22k 1W, B+2 to B+3
- C12 = 16uF 450V electrolytic date 2016, B+3 to gnd
- V1A = 12AX7, a R4 B+3, k R5 C5, g R6
- R4 = 100k 1W
- R5 = 1k5 0.5W
- C5 = 25uF 25V electrolytic, plus at V1A.k
- R6 = 1M 0.5W
- C6 = 22n 630V film, V1A.a to V1B.g
- R7 = 1M 0.5W, V1B.g to gnd
- V1B = 12AX7, a R8 B+3, k R9 C9
- R8 = 100k 1W
- R9 = 1k5 0.5W
- C9 = 25uF 25V electrolytic
- C7 = 22n 630V film, V1B.a to V2.g
- R12 = 470k 0.5W, V2.g to gnd
- V2 = EL84
- R13 = 150R 5W wirewound, V2.k to gnd
- C13 = 100uF 25V electrolytic, across R13
- R14 = 100R 1W, B+2 to V2.g2
- T2 = output 5k : 8R 8W, V2.a, ct B+1

Mains {mains: 231 V}, dummy load, twenty minutes warm.

- B+1: 284 V, 14 Vpp
- B+2: 276 V
- B+3: 240 V
- V1A: a 155, k 1.3, g 0
- V1B: a 155, k 1.3, g 0
- V2: a 276, g2 275.5, g 0, k 6.8
- earth to chassis: 0.1R
`;

const SHARED = `# Sorrel 15, checked over

## As found

- V5, V6 = 6V6GT
- R18 = 270R 5W wirewound, V5.k V6.k to gnd
- C18 = 47uF 50V electrolytic, across R18
- R21, R22 = 1k 5W, B+2 to V5.g2 V6.g2
- R16, R17 = 220k 0.5W, V5.g V6.g to gnd
- C9, C10 = 100n 400V film, V4A.a V4B.a to V5.g V6.g
- V4A, V4B = 12AX7
- R30 = 82k 1W, V4A.a to B+3
- R31 = 100k 1W, V4B.a to B+3
- R32 = 470R 0.5W, V4A.k V4B.k to tail
- R33 = 16k 1W, tail to gnd
- R34 = 1M 0.5W, V4A.g to tail
- R35 = 1M 0.5W, V4B.g to tail
- T2 = output 8k : 8R 15W, V5.a V6.a, ct B+1
- T2: 138R + 124R

Mains {mains: 229 V}, dummy load, twenty minutes warm.

| Valve | a   | g2  | g | k    |
| ----- | --- | --- | - | ---- |
| V5    | 301 | 282 | 0 | 18.4 |
| V6    | 302 | 282 | 0 | 18.4 |
| V4A   | 196 | -   | - | 31   |
| V4B   | 186 | -   | - | 31   |

- B+1: 306 V
- B+2: 285 V
- B+3: 278 V
- tail: 30.3 V
`;

const FIXED_CHASSIS = `---
sheet: chassis
model: Heron 50
mains: 230 V 50 Hz
---
# Heron 50

- T1 = mains 360-0-360V 250mA 6.3V 6A 5V 3A
- V7 = GZ34, T1 to B+1
- C40 + C41 = 100uF 350V electrolytic, B+1 to gnd
- R50, R51 = 220k 2W, across C40 C41
- L1 = 10H 150R, B+1 to B+2
- C42 = 47uF 600V electrolytic, B+2 to gnd
- V3, V4 = EL34
- {V3.g3 = V3.k}
- {V4.g3 = V4.k}
- R41, R42 = 1k 5W wirewound, B+2 to V3.g2 V4.g2
- R43, R44 = 1R 1W 1%, V3.k V4.k to gnd
- R16, R17 = 220k 0.5W, V3.g V4.g to bias
- T2 = output 3k4 : 4R 8R 16R 60W, V3.a V4.a, ct B+1

## Voltages

{mains: 230 V}, dummy load, twenty minutes warm.

- B+1: 441 V
- B+2: 438 V
- bias: -40 V
- V3: a 438, g2 433, g -40
- V4: a 438, g2 433, g -40
- R43: 40 mV
- R44: 40 mV
`;

const FIXED = `---
job: 312
chassis: ../chassis/heron.tagstrip.md
---
# Heron 50, yearly look

## As found

Mains {mains: 241 V}, dummy load, fifteen minutes warm.

- B+1: 463 V
- B+2: 460 V
- bias: -42 V
- V3: a 460, g2 455, g -42
- V4: a 460, g2 455, g -42
- R43: 41 mV
- R44: 38.5 mV
- earth to chassis: 0.2R
`;

const FOLLOWER = `# Thistle preamp

## As found

- V1A = 12AX7, a R4 B+3, k R5, g R6
- R4 = 100k 1W
- R5 = 820R 0.5W
- R6 = 1M 0.5W
- V2A = 12AX7, a R8 B+3, k R9
- R8 = 100k 1W
- R9 = 820R 0.5W
- V2B = 12AX7, a B+3, k R10
- {V2B.g = V2A.a}
- R10 = 100k 1W, V2B.k to gnd
- C6 = 22n 630V film, V1A.a to V2A.g
- R7 = 1M 0.5W, V2A.g to gnd
- V3A = 12AX7, a R20 B+2
- V3B = 12AX7, a R23 B+2
- R20 = 82k 1W
- R21 = 470R 0.5W, V3A.k V3B.k to tail
- R22 = 1M 0.5W, V3A.g to tail
- R23 = 100k 1W
- R24 = 1M 0.5W, V3B.g to tail
- R25 = 10k 1W, tail to gnd
- R30 = 10k 1W, B+2 to B+3

Mains {mains: 230 V}, twenty minutes warm:

- B+2: 330 V
- B+3: 292 V
- V1A: a 190, k 0.84, g 0
- V2A: a 139, k 1.21, g 0
- V2B: g 139, k 140.5
- V3A: a 224, k 33.1
- V3B: a 203, k 33.1
- tail: 31.8 V
`;

const CATHODYNE = `---
mains: 120 V 60 Hz
---
# Juniper 18

## As found

- T1 = mains 300-0-300V 150mA 6.3V 4A 5V 2A
- V8 = 5Y3GT, T1 to B+1
- C20 = 20uF 500V electrolytic, B+1 to gnd
- R50 = 1k 10W, B+1 to B+2
- C21 = 20uF 500V electrolytic, B+2 to gnd
- R51 = 10k 1W, B+2 to B+3
- C22 = 20uF 500V electrolytic, B+3 to gnd
- V4A = 12AX7, a R30 B+3, k R31
- R30 = 56k 1W
- R31 = 1k5 0.5W, V4A.k to cn
- R32 = 56k 1W, cn to gnd
- R33 = 1M 0.5W, V4A.g to cn
- C14 = 22n 600V film, V4A.a to V5.g
- C15 = 22n 600V film, cn to V6.g
- R16, R17 = 220k 0.5W, V5.g V6.g to gnd
- V5, V6 = 6V6GT
- R18, R19 = 560R 5W 5% wirewound, V5.k V6.k to gnd
- T2 = output 8k : 8R 15W, V5.a V6.a, ct B+1
- R43, R44 = 470R 2W, B+2 to V5.g2 V6.g2
- F1 = T2A

Mains {mains: 122 V}, dummy 8R, 20 min, no signal.

- B+1: 321 V
- B+2: 300 V
- B+3: 288 V
- V4A: a 238, k 51.5
- cn: 50 V
- V5: a 316, g2 299, g 0, k 18.6
- V6: a 316, g2 299, g 0, k 19.2
- heaters: 6.4 V
`;

const PENTODE = `# Alder 10, on return

## As left

- V1 = EF86
- R4 = 220k 1W, V1.a to B+3
- R3 = 1M 0.5W, V1.g2 to B+3
- C3 = 100n 400V film, V1.g2 to gnd
- R5 = 2k2 0.5W, V1.k to gnd
- C5 = 47uF 25V electrolytic, across R5
- R2 = 1M 0.5W, V1.g to gnd
- C6 = 10n 630V film, V1.a to V2.g
- R7 = 470k 0.5W, V2.g to gnd
- V2, V3 = EL84
- R13, R14 = 270R 3W, V2.k V3.k to gnd
- R43, R44 = 100R 1W, B+2 to V2.g2 V3.g2
- R8 = 470k 0.5W, V3.g to gnd

Mains {mains: 238 V}.

- B+2: 302.0 V
- B+3: 250 V
- V1: a 92, g2 96, k 1.9
- V2: a 309, g2 301.6, g 0, k 10.2
- V3: a 309, g2 301.6, g 0, k 10.6
`;

const SCRAP = `# Little one

- V5 6V6GT: a 312, 31 mA
- B+: 320 V
- B+: 3 V AC
- C14 = 22n 400V -> 22n 630V
- LS1: 9.8 Vrms at 1 kHz
`;

const LIMITED = `---
mains: 230 V 50 Hz
---
# First power

## As found

- V5, V6 = EL84
- R18 = 130R 5W, V5.k V6.k to gnd

lamp 60 W:

- B+1: 96 V
- V5: a 95, g2 94, k 2.1

Mains {mains: 230 V}, dummy load, twenty minutes warm.

- B+1: 312 V
- V5: a 309, g2 298, g 0, k 10.1
- V6: a 309, g2 298, g 0, k 10.1

off, discharged: B+1: 4 V
`;

describe('an amplifier in good order is not warned of', () => {
  it.each([
    ['a single-ended EL84', SINGLE_ENDED, {}],
    ['two 6V6 on one cathode resistor behind a long-tailed pair', SHARED, {}],
    ['two EL34 in fixed bias, mains 5 % up', FIXED, { '../chassis/heron.tagstrip.md': FIXED_CHASSIS }],
    ['the chassis sheet of those', FIXED_CHASSIS, {}],
    ['a driver, its cathode follower and a long-tailed pair', FOLLOWER, {}],
    ['a cathodyne and two 6V6 with a resistor each', CATHODYNE, {}],
    ['an EF86 and two EL84', PENTODE, {}],
    ['a scrap of a note', SCRAP, {}],
    ['a first power behind a lamp, then the chart', LIMITED, {}],
  ] as const)('%s', async (_, sheet, others) => {
    const { findings } = await analyse(sheet, others);
    const loud = findings.filter(({ severity }) => severity === 'error' || severity === 'warning');
    expect(loud.map(({ rule, subject, message }) => `${rule} ${subject}: ${message}`)).toEqual([]);
  });
});
