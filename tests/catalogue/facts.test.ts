import { describe, expect, it } from 'vitest';
import {
  FILM_DERATING,
  filmVoltageShare,
  findCapacitorKind,
  highestNewSeriesResistance,
  mainsClassesIn,
  surgeVoltage,
  usualTolerance,
} from '../../server/catalogue/capacitor-facts.ts';
import {
  compareFuseSpeeds,
  equivalentFuseRating,
  FUSE_RATINGS,
  findFuseSpeed,
} from '../../server/catalogue/fuse-facts.ts';
import { findNominalImpedance } from '../../server/catalogue/loudspeaker-facts.ts';
import { findMains, highMains, lowMains, primaryFactor } from '../../server/catalogue/mains-facts.ts';
import { amperes, celsius, farads, ohms, volts } from '../../server/units/si.ts';

describe('capacitors', () => {
  it.each([
    ['electrolytic', 'electrolytic'],
    ['bipolar electrolytic', 'electrolytic'],
    ['polypropylene film', 'film'],
    ['silvered mica', 'mica'],
    ['ceramic disc', 'ceramic-class-2'],
    ['ceramic c0g', 'ceramic-class-1'],
    ['paper oil', 'paper'],
    ['axial new', undefined],
  ])('%s is %s', (words, kind) => {
    expect(findCapacitorKind(words.split(' '))).toBe(kind);
  });
  it('stand 15 % more for a moment up to 315 V, 10 % above', () => {
    expect(surgeVoltage(volts(315)).voltage).toBeCloseTo(362.25, 6);
    expect(surgeVoltage(volts(450)).voltage).toBeCloseTo(495, 6);
  });
  it('of film lose DC rating above 85 °C', () => {
    expect(filmVoltageShare(celsius(60))).toBe(1);
    expect(filmVoltageShare(celsius(95))).toBeCloseTo(0.75, 9);
    expect(filmVoltageShare(FILM_DERATING.highest)).toBeCloseTo(0.5, 9);
    expect(filmVoltageShare(celsius(130))).toBe(0);
  });
  it('on the mains side go by their class', () => {
    const between = (words: string) =>
      mainsClassesIn(words.split(' ')).map(({ name, between }) => `${name} ${between}`);
    expect(between('x2 film')).toEqual(['X2 lines']);
    expect(between('x1/y2 ceramic')).toEqual(['X1 lines', 'Y2 line and earth']);
    expect(between('film foil')).toEqual([]);
  });
  it('an electrolytic may be half as much again, a film capacitor may not', () => {
    expect(usualTolerance('electrolytic')).toMatchObject({ low: -0.2, high: 0.5 });
    expect(usualTolerance('film')).toMatchObject({ low: -0.1, high: 0.1 });
  });
  it('a new 47 µF 450 V electrolytic has 7 Ω at most at 120 Hz', () => {
    expect(highestNewSeriesResistance(farads(47e-6), volts(450))?.resistance).toBeCloseTo(7.05, 2);
    expect(highestNewSeriesResistance(farads(25e-6), volts(25))?.resistance).toBeCloseTo(7.43, 2);
    expect(highestNewSeriesResistance(farads(0), volts(450))).toBeUndefined();
    expect(highestNewSeriesResistance(farads(47e-6), volts(2000))).toBeUndefined();
  });
});

describe('fuses', () => {
  it.each([
    ['T', 'T'],
    ['slow-blow', 'T'],
    ['slo-blo', 'T'],
    ['anti-surge', 'T'],
    ['time-lag', 'T'],
    ['fast', 'F'],
    ['quick blow', 'F'],
    ['FF', 'FF'],
    ['neon', undefined],
    ['constructor', undefined],
  ])('%s is %s', (word, speed) => {
    expect(findFuseSpeed(word)).toBe(speed);
  });
  it('a fast fuse is quicker than a time-lag one', () => {
    expect(compareFuseSpeeds('F', 'T')).toBeLessThan(0);
    expect(compareFuseSpeeds('T', 'T')).toBe(0);
  });
  it('a UL 2 A behaves like an IEC 1.5 A', () => {
    expect(equivalentFuseRating(amperes(2), 'UL 248-14').current).toBeCloseTo(1.48, 2);
    expect(equivalentFuseRating(amperes(1.5), 'IEC 60127').current).toBeCloseTo(2.03, 2);
  });
  it('are made in rising sizes', () => {
    expect([...FUSE_RATINGS].sort((a, b) => a - b)).toEqual(FUSE_RATINGS);
  });
});

describe('a loudspeaker’s resistance points to its impedance', () => {
  it.each([
    [5.5, 8],
    [6.3, 8],
    [7, 8],
    [2.8, 4],
    [3.5, 4],
    [11, 16],
    [13.9, 16],
    [4.5, undefined],
    [9, undefined],
    [0, undefined],
  ])('%d Ω at the meter: %s Ω', (reading, nominal) => {
    expect(findNominalImpedance(ohms(reading))).toBe(nominal);
  });
});

describe('mains', () => {
  it('by country', () => {
    expect(findMains('uk')).toMatchObject({ voltage: 230, frequencies: [50] });
    expect(findMains('US')).toMatchObject({ voltage: 120, frequencies: [60] });
    expect(findMains('JP')).toMatchObject({ voltage: 100, frequencies: [50, 60] });
    expect(findMains('Atlantis')).toBeUndefined();
  });
  it('may be a tenth high in Europe and 5.8 % in North America', () => {
    expect(highMains(volts(230)).factor).toBe(1.1);
    expect(highMains(volts(120)).factor).toBeCloseTo(1.0583, 4);
    expect(lowMains(volts(120)).factor).toBeCloseTo(0.9167, 4);
    expect(highMains(volts(100)).trust.mark).toBe('weak');
  });
  it.each([
    [120, 110, 1.091],
    [120, 117, 1.026],
    [240, 220, 1.091],
    [230, 220, 1.045],
  ])('%d V on a primary for %d V is %d times', (now, primary, factor) => {
    expect(primaryFactor(volts(now), volts(primary))?.factor).toBeCloseTo(factor, 3);
  });
  it('on no primary is nothing', () => {
    expect(primaryFactor(volts(120), volts(0))).toBeUndefined();
  });
});
