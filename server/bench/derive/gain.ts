/** Owns how the gain of a valve stage is told: as a factor, and the same in decibels. */
import { voltageDecibels } from '../../electronics/decibels.ts';
import { refused } from '../../electronics/result.ts';
import { ratio } from '../../units/si.ts';
import type { Ledger, ValveAt } from './bench.ts';
import { type Calculation, calculate, inputFrom, type Moment } from './figure.ts';

/** Adds both; neither where the calculation refuses. */
export function addGain(
  { ledger, moment }: { readonly ledger: Ledger; readonly moment: Moment },
  of: ValveAt,
  made: Omit<Calculation, 'subject' | 'figure' | 'unit' | 'source'>,
): void {
  const base = { subject: of.ref, source: of.part.source } as const;
  const gain = ledger.add(calculate(moment, { ...made, ...base, figure: 'gain', unit: '1' }));
  if (gain === undefined) return;
  ledger.add(
    calculate(moment, {
      ...base,
      figure: 'gain-db',
      unit: 'dB',
      formula: '20 · log10(A)',
      inputs: [inputFrom('A', gain)],
      by: (a = 0) => (a > 0 ? voltageDecibels(ratio(a)) : refused('no gain')),
    }),
  );
}
