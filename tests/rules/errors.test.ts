/** Error is for hazard or physical contradiction only: which of the two each rule that may give one speaks of, decided one by one. */
import { describe, expect, it } from 'vitest';
import { rules } from '../../server/rules/registry.ts';

/** A part that may burn, burst or run away, or a shock; against readings that cannot all be true of a working circuit. */
const MAY_BE_ERRORS: Readonly<Record<'hazard' | 'contradiction', readonly string[]>> = {
  hazard: [
    'anode-over-dissipation',
    'anode-over-voltage',
    'bypass-over-voltage',
    'capacitance-low',
    'cathode-over-current',
    'cold-start-over-voltage',
    'coupling-over-voltage',
    'diode-over-voltage',
    'earth-high',
    'electrolytic-reversed',
    'excess-ripple',
    'fixed-bias-hot',
    'fuse-mismatch',
    'grid-floating',
    'half-wave-ripple',
    'heater-cathode-over-voltage',
    'heater-overload',
    'heater-voltage-off',
    'leaky-coupling',
    'line-capacitor-class',
    'mains-tap',
    'mismatched-pair',
    'no-bias',
    'open-load',
    'over-voltage',
    'rectifier-over-current',
    'rectifier-source-too-stiff',
    'reservoir-over-limit',
    'residual-voltage',
    'resistor-over-dissipation',
    'resistor-over-voltage',
    'screen-open',
    'screen-over-dissipation',
    'screen-over-voltage',
    'series-capacitors-unbalanced',
    'speaker-mismatch',
    'two-core-mains',
    'winding-overload',
  ],
  contradiction: [
    'cathode-high',
    'cathode-low',
    'conflict-marked',
    'contradictory-readings',
    'impossible-reading',
    'no-conduction',
    'resistor-open',
  ],
};

describe('error', () => {
  it('is given by no rule that was not decided to speak of a hazard or a contradiction', () => {
    const decided = [...MAY_BE_ERRORS.hazard, ...MAY_BE_ERRORS.contradiction].sort();
    const able = rules.filter(({ severities }) => /\bE\b/.test(severities)).map(({ id }) => id);
    expect(able).toEqual(decided);
  });

  it('is never for drift, age, the record or the writing', () => {
    for (const id of [
      'value-out-of-tolerance',
      'electrolytic-aged',
      'esr-high',
      'off-nominal',
      'discharge-unrecorded',
    ]) {
      expect(rules.find((rule) => rule.id === id)?.severities).not.toMatch(/\bE\b/);
    }
    // A merge left undecided is two sheets in one, and not how one is written.
    const writing = rules.filter(({ category, id }) => category === 'writing' && id !== 'conflict-marked');
    for (const rule of writing) {
      expect(rule.severities, rule.id).not.toMatch(/\bE\b/);
    }
  });
});
