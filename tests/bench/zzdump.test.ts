import { it } from 'vitest';
import { expectedFigures } from '../../server/bench/expected.ts';
import { amplifierOf } from './bench.ts';

const show = (name: string, text: string) => {
  const a = amplifierOf(text);
  for (const v of a.phases) {
    console.log('=====', name, v.phase);
    for (const x of expectedFigures(v, a))
      console.log(
        x.subject,
        x.quantity.value.toPrecision(4),
        x.low?.toPrecision(4),
        x.high?.toPrecision(4),
        x.quantity.unit,
        'set',
        x.set,
        x.remark?.slice(0, 120),
      );
  }
};
it('dump', () => {
  show(
    'heron',
    `# Heron 50

## As found

- V3, V4 = EL34
- R41 = 1k 5W, V3.g2 to B+1
- R42 = 1k 5W, V4.g2 to B+1
- R43, R44 = 1R 1%, V3.k V4.k to gnd
- R45, R46 = 220k, V3.g V4.g to bias
- T2 = output 3k4 : 8R, V3.a V4.a, ct B+1
- B+1: 446
- bias: -40.7
- V3: a 443, g2 441, k 44.2mV, g -40.7
- R42: open

## Work

- R42 -> 1k 5W

## As left

- B+1: 440.5
- V3: g -40.7
- V4: g -40.7
`,
  );
  show(
    'bias supply',
    `# X

## As found

- T1 = mains 300-0-300V 200mA 50V 50mA 6.3V 4A
- D1, D2 = 1N4007, T1 to B+1
- C1 = 47uF 500V, B+1 to gnd
- D3 = 1N4007, bias1 to T1.2
- C9 = 50uF 100V, bias1 to gnd
- R50 = 10k, bias1 to bias
- VR5 = 100k, bias to gnd, wiper to gnd
- R45, R46 = 220k, V3.g V4.g to bias
- V3, V4 = EL34, k gnd
- R41 = 1k 5W, V3.g2 to B+1
- R42 = 1k 5W, V4.g2 to B+1
- T2 = output 3k4 : 8R, V3.a V4.a, ct B+1
- V1A = 12AX7, a R4 B+2, k R5, g R2 J1
- R4 = 100k
- R5 = 1k5
- R1 = 1M, J1 to gnd
- R60 = 22k, B+1 to B+2
`,
  );
  show(
    'half',
    `# X

## As found

- V5 = 6V6GT
- R17 = 330R 5W, V5.k to gnd
- V5: a 311, g2 302, k 19.4, g 0
- V6 6V6GT: a 331, 38 mA
`,
  );
});
