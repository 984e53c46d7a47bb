import { describe, expect, it } from 'vitest';
import { builtInCatalogue } from '../../server/catalogue/find-valve.ts';
import type { Datum, Trust, Valve } from '../../server/catalogue/valve.ts';
import { normalName } from '../../server/catalogue/valve-names.ts';

const valves = builtInCatalogue.listValves();

/** Everything below a value, with its path. */
function* walk(value: unknown, path: string): Iterable<readonly [string, unknown]> {
  yield [path, value];
  if (typeof value !== 'object' || value === null) return;
  for (const [key, inner] of Object.entries(value)) yield* walk(inner, `${path}.${key}`);
}

const isTrust = (value: unknown): value is Trust =>
  typeof value === 'object' && value !== null && 'mark' in value;
const isDatum = (value: unknown): value is Datum<number> =>
  typeof value === 'object' && value !== null && 'trust' in value && 'value' in value;

describe.each(valves.map((valve): [string, Valve] => [valve.type, valve]))('%s', (type, valve) => {
  it('says of every figure where it comes from and how far it is to be trusted', () => {
    const trusts = [...walk(valve, type)].filter((entry): entry is readonly [string, Trust] =>
      isTrust(entry[1]),
    );
    expect(trusts.length).toBeGreaterThan(2);
    for (const [path, { mark, source }] of trusts) {
      expect(source.length, path).toBeGreaterThan(8);
      expect(source.includes('from memory, unverified'), path).toBe(mark === 'memory');
      if (mark === 'weak') expect(source, path).toContain('publications disagree');
      if (mark === 'computed') expect(source, path).toMatch(/^computed from /);
      if (mark === 'transcribed') expect(source, path).not.toContain('memory');
    }
  });
  it('has positive figures', () => {
    for (const [path, value] of walk(valve, type)) {
      if (isDatum(value)) expect(value.value, path).toBeGreaterThan(0);
    }
  });
  it('uses each pin of its base once', () => {
    const used = valve.sections.flatMap(({ pins }) => Object.values(pins).flat());
    const { pins, centreTap } = valve.heater;
    const last = valve.base.startsWith('octal') ? 8 : valve.base.startsWith('B9A') ? 9 : 7;
    for (const pin of [...used, ...pins, ...(centreTap === undefined ? [] : [centreTap])]) {
      expect(pin).toBeGreaterThanOrEqual(1);
      expect(pin).toBeLessThanOrEqual(last);
    }
    expect(new Set(used).size).toBe(used.length);
    // Only a rectifier's cathode may share a heater pin.
    if (valve.kind !== 'rectifier')
      expect(used.filter((pin) => pins.includes(pin) || pin === centreTap)).toEqual([]);
  });
  it('takes the same heater power both ways', () => {
    const { volts, amperes, series } = valve.heater;
    if (series !== undefined)
      expect(series.volts * series.amperes).toBeCloseTo(volts.value * amperes.value, 9);
  });
  it('has another edition only where it says something else', () => {
    for (const { what, value } of valve.otherEditions) {
      const main = what === 'reservoir' ? valve.rectifier?.reservoir : valve.limits[what];
      expect(main?.value, what).toBeDefined();
      expect(main?.value, what).not.toBe(value);
    }
  });
  it('has what its kind needs', () => {
    expect(valve.sections.every(({ kind }) => kind === valve.kind)).toBe(true);
    expect(valve.rectifier !== undefined).toBe(valve.kind === 'rectifier');
    const hasScreen = valve.kind === 'pentode' || valve.kind === 'beam-tetrode';
    expect(valve.screenShare !== undefined).toBe(hasScreen);
    expect(valve.limits.screenVoltage !== undefined).toBe(hasScreen);
    expect(valve.limits.anodeDissipation !== undefined).toBe(valve.kind !== 'rectifier');
    if (valve.screenShare !== undefined) {
      expect(valve.screenShare.low).toBeGreaterThan(0.01);
      expect(valve.screenShare.low).toBeLessThan(valve.screenShare.high);
      expect(valve.screenShare.high).toBeLessThan(0.21);
    }
  });
});

describe('the whole list', () => {
  it('gives no name to two valves', () => {
    const names = valves.flatMap(({ type, synonyms }) => [type, ...synonyms]).map(normalName);
    expect(names.filter((name, i) => names.indexOf(name) !== i)).toEqual([]);
  });
  it('has the preamplifier triodes’ capacitances, which the input capacitance needs', () => {
    const lacking = valves.filter(
      ({ kind, capacitances }) => kind === 'triode' && capacitances === undefined,
    );
    expect(lacking.map(({ type }) => type)).toEqual([]);
  });
  it('lowers the source resistance that a rectifier needs with its anode volts', () => {
    for (const { type, rectifier } of valves) {
      const rows = rectifier?.sourceResistance ?? [];
      for (const [i, row] of rows.entries()) {
        const before = rows[i - 1];
        if (before !== undefined)
          expect(row.rms > before.rms && row.minimum > before.minimum, type).toBe(true);
      }
    }
  });
});
