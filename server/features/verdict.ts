/**
 * Owns the one line that says how a part fares: `V6 17.7 W, 148 % of 12 W (design-centre)`. Hover, inlay values, symbols and
 * the summary all take it from here, so that they never differ.
 */
import type { Figure, FigureName, FittedPart, PhaseView } from '../bench/model.ts';
import type { Quantity } from '../units/si.ts';
import { writePercent, writeQuantity } from '../units/write.ts';

export interface Verdict {
  /** Without the subject: `17.7 W, 148 % of 12 W (design-centre)`. */
  readonly text: string;
  /** The short form, for the end of a line: `17.7 W, 148 %`. */
  readonly short: string;
  /** The figure that it rests on. */
  readonly figure: Figure;
}

/** Figures that make a verdict, most telling first, with the share that goes beside each. */
const TELLING: readonly { readonly figure: FigureName; readonly share?: FigureName }[] = [
  { figure: 'anode-dissipation', share: 'anode-loading' },
  { figure: 'insulation' },
  { figure: 'dissipation', share: 'loading' },
  { figure: 'shelf-high' },
  { figure: 'corner' },
  { figure: 'voltage', share: 'margin' },
  { figure: 'effective-capacitance' },
  { figure: 'cathode-current' },
  { figure: 'current' },
  { figure: 'ripple' },
  { figure: 'mismatch' },
  { figure: 'answer' },
];

const bySubject = new WeakMap<PhaseView, ReadonlyMap<string, readonly Figure[]>>();

/** All figures of a subject in a view, in every set. */
export function figuresOn(view: PhaseView, subject: string): readonly Figure[] {
  let index = bySubject.get(view);
  if (index === undefined) {
    index = groupBySubject(view.figures);
    bySubject.set(view, index);
  }
  return index.get(subject) ?? [];
}

/** How a subject fares in one phase and set (its verdict set where none is asked for). */
export function findVerdict(view: PhaseView, subject: string, set?: number): Verdict | undefined {
  const asked = set ?? view.verdictSet?.id;
  const own = figuresOn(view, subject).filter((figure) => figure.set === 0 || figure.set === asked);
  for (const { figure: name, share: shareName } of TELLING) {
    const figure = own.find((each) => each.figure === name);
    if (figure === undefined) continue;
    return wordVerdict(
      figure,
      own.find((each) => each.figure === shareName),
      own,
      view.parts.get(subject),
    );
  }
  return undefined;
}

function groupBySubject(figures: readonly Figure[]): ReadonlyMap<string, readonly Figure[]> {
  const groups = new Map<string, Figure[]>();
  for (const figure of figures) {
    const group = groups.get(figure.subject);
    if (group === undefined) groups.set(figure.subject, [figure]);
    else group.push(figure);
  }
  return groups;
}

function wordVerdict(
  figure: Figure,
  share: Figure | undefined,
  own: readonly Figure[],
  part: FittedPart | undefined,
): Verdict {
  const value = showBand(figure);
  switch (figure.figure) {
    case 'voltage': {
      const rating = part?.ratings.voltage?.quantity;
      if (share === undefined || rating === undefined) return { text: value, short: value, figure };
      const used = writePercent(1 - share.quantity.value);
      return {
        text: `${value}, ${used} of ${show(rating)} working voltage`,
        short: `${value}, ${used} of ${show(rating)}`,
        figure,
      };
    }
    case 'corner':
      return { text: `${value} corner (−3 dB)`, short: `${value} corner`, figure };
    case 'insulation':
      return { text: `leaks through ${value}`, short: `leaks, ${value}`, figure };
    case 'effective-capacitance':
      return { text: `acts as ${value}`, short: `acts as ${value}`, figure };
    case 'ripple':
      return { text: `${value} p-p ripple`, short: `${value} p-p`, figure };
    case 'shelf-high': {
      const low = own.find((each) => each.figure === 'shelf-low');
      const step = own.find((each) => each.figure === 'step-db');
      if (low === undefined || step === undefined)
        return { text: `full gain above ${value}`, short: value, figure };
      const from = show(low.quantity);
      return {
        text: `full gain above ${value}, ${show(step.quantity)} less below ${from}`,
        short: `${from} to ${value}, ${show(step.quantity)}`,
        figure,
      };
    }
    default: {
      const limit = share?.limit;
      if (share === undefined) return { text: value, short: value, figure };
      const percent = show(share.quantity);
      const of = limit === undefined ? '' : ` of ${show(limit.quantity)} (${limit.source})`;
      return { text: `${value}, ${percent}${of}`, short: `${show(figure.quantity)}, ${percent}`, figure };
    }
  }
}

export function show(quantity: Quantity): string {
  return quantity.unit === '1' ? writePercent(quantity.value) : writeQuantity(quantity);
}

/** A value, or where an assumption widened it a band: `12.1 to 13.7 W`. */
export function showBand(figure: Pick<Figure, 'quantity' | 'low' | 'high'>): string {
  const { quantity, low, high } = figure;
  if (low === undefined || high === undefined) return show(quantity);
  const [from, to] = [show({ ...quantity, value: low }), show({ ...quantity, value: high })];
  return from === to ? from : `${from} to ${to}`;
}
