/** Owns the German names of what a meter reads, and of how an alternating one was read. */

export const germanQuantities = {
  voltage: 'Gleichspannung',
  'ac-voltage': 'Wechselspannung',
  ripple: 'Brummspannung',
  current: 'Strom',
  resistance: 'Widerstand',
  capacitance: 'Kapazität',
  inductance: 'Induktivität',
  esr: 'Serienwiderstand (ESR)',
  insulation: 'Isolation',
  leakage: 'Leckstrom',
  setting: 'Stellung',
  arms: 'Teilwiderstände',
  halves: 'Hälften',
  power: 'Leistung',
  frequency: 'Frequenz',
  temperature: 'Temperatur',
  time: 'Zeit',
} as const;

export const germanWaves = { rms: 'effektiv', pp: 'Spitze-Spitze', peak: 'Spitze', ac: 'Wechsel' } as const;
