/** Under what conditions readings were taken. */
import { describe, expect, test } from 'vitest';
import { showWritten as show } from './tag-show.ts';

describe('a passage of condition words', () => {
  test.each([
    [
      '@ mains 238, lamp 60 W, variac 120 V:',
      'mains 238 V “mains 238”, lamp 60 W “lamp 60 W”, variac 120 V “variac 120 V”',
    ],
    [
      '@ Mains 236 V, dummy load, twenty minutes warm.',
      'mains 236 V “Mains 236 V”, dummy-load “dummy load”, warm-up 20 min “twenty minutes warm”',
    ],
    ['@ in play:', 'in-play “in play”'],
    ['@ in standby', 'in-standby “in standby”'],
    ['@ standby on', 'standby-on “standby on”'],
    ['@ off, discharged through 10k', 'off “off”, discharged 10 kΩ “discharged through 10k”'],
    ['@ plug out:', 'off “plug out”'],
    ['@ cold; no signal', 'cold “cold”, no-signal “no signal”'],
    ['@ hot', 'hot “hot”'],
    ['@ 1 kHz, clipping, dummy 8R', 'signal 1 kHz “1 kHz”, clipping “clipping”, dummy-load 8 Ω “dummy 8R”'],
    ['@ speaker, no load', 'speaker “speaker”, no-load “no load”'],
    ['@ V6 out', 'out V6 “V6 out”'],
    ['@ C22 lifted, R5.1 lifted', 'lifted C22 “C22 lifted”, lifted R5 “R5.1 lifted”'],
    ['@ V5 and V6 swapped:', 'swapped V5 V6 “V5 and V6 swapped”'],
    ['@ in circuit', 'in-circuit “in circuit”'],
    ['@ out of circuit', 'out-of-circuit “out of circuit”'],
    ['@ VR3 at 3, VR1 VR2 at 5', 'setting VR3 3 “VR3 at 3”, setting VR1 VR2 5 “VR1 VR2 at 5”'],
    ['@ same conditions', 'same “same conditions”'],
    [
      '@ 15 min, 1 h, half an hour, thirty-five minutes warm',
      'warm-up 15 min “15 min”, warm-up 60 min “1 h”, warm-up 30 min “half an hour”, warm-up 35 min “thirty-five minutes warm”',
    ],
    [
      '@ 60 W lamp, 8 ohm dummy load, 236 V mains',
      'lamp 60 W “60 W lamp”, dummy-load 8 Ω “8 ohm dummy load”, mains 236 V “236 V mains”',
    ],
    [
      '@ readings with mains at 236 V and dummy 8R:',
      'mains 236 V “mains at 236 V”, dummy-load 8 Ω “dummy 8R”',
    ],
  ])('%s', (written, understood) => {
    expect(show(written)).toBe(understood);
  });
});

describe('prose is prose', () => {
  test.each([
    ['@ hum with the volume down:', 'prose'],
    ['@ the amplifier was hot', 'prose'],
    ['@ the following was found:', 'prose'],
    ['@ V5 looks tired', 'prose'],
  ])('%s', (written, understood) => {
    expect(show(written)).toBe(understood);
  });
});

describe('with a tag', () => {
  test.each([
    ['{V5.a: 331 V (hot)}', 'reading V5.a voltage 331 V under hot'],
    ['{V5: a 331 (hot), k 19.4}', 'reading V5.a voltage 331 V*; V5.k voltage 19.4 V* under hot'],
    ['{C14 lifted: V5.g: 0 V}', 'reading V5.g voltage 0 V under lifted C14'],
    ['{V6 out: V5.a: 340 V}', 'reading V5.a voltage 340 V under out V6'],
    ['{R12 (out of circuit): 171k}', 'reading R12 resistance 171 kΩ* under out-of-circuit'],
    [
      '{V5.a: 331 V (standby on)}',
      [
        'reading V5.a voltage 331 V under standby-on',
        '  ! standby-on “standby on”: “standby on” means playing to one and waiting to another: write “in play” or “in standby” → {V5.a: 331 V (in play)} | {V5.a: 331 V (in standby)}',
      ].join('\n'),
    ],
    ['{R4: 172k out of circuit}', 'reading R4 resistance 172 kΩ* under out-of-circuit'],
    ['{V5.a: 331 V at 236 V mains, hot}', 'reading V5.a voltage 331 V under mains 236 V, hot'],
    ['{V5: 38 mA, 15 min}', 'reading V5 current 38 mA under warm-up 15 min'],
    ['{LS1: 11.2 V at 1 kHz into 8R}', 'reading LS1 ac-voltage 11.2 V at 1 kHz under dummy-load 8 Ω'],
  ])('%s', (written, understood) => {
    expect(show(written)).toBe(understood);
  });
});
