/**
 * Owns the making of one figure: inputs that know where they came from, a calculation, and what follows for basis, band
 * and the place where it is shown. No figure is made but here.
 */
import type { Result } from '../../electronics/result.ts';
import type { Phase } from '../../sheet/model.ts';
import { type Quantity, quantity, type Unit } from '../../units/si.ts';
import {
  assumptionsIn,
  type Basis,
  type Figure,
  type FigureInput,
  type FigureName,
  type Known,
  type Source,
  weakest,
} from '../model.ts';

/** Where and when figures are made. */
export interface Moment {
  readonly file: string;
  readonly phase: Phase;
  /** 0 where no reading takes part. */
  readonly set: number;
}

export interface Calculation {
  readonly subject: string;
  readonly figure: FigureName;
  readonly unit: Unit;
  /** With the symbols of `inputs`. */
  readonly formula: string;
  readonly inputs: readonly FigureInput[];
  /** Of the inputs' values in their order. */
  readonly by: (...values: readonly number[]) => Result<number>;
  /** Shown there where no input has a place in this file. */
  readonly source?: Source;
  readonly limit?: Figure['limit'];
  readonly remark?: string;
  /** Something was assumed that is no number of its own. */
  readonly assumed?: boolean;
  /** The band where it is no matter of the inputs' corners. */
  readonly band?: readonly [low: number, high: number];
  /** The low end of the band where it lies inside the inputs' bands and no corner says it: two that may be alike. */
  readonly least?: number;
}

/** Inputs with a band beyond this number are taken at their own value: each doubles the work. */
const MOST_BANDS = 4;

/**
 * The figure, or undefined where the calculation refuses: no chart, no figure. Its value is what the formula gives for the
 * inputs as they are told, so that whoever reckons it again finds the same; its band lies around that and need not be even.
 */
export function calculate(moment: Moment, calculation: Calculation): Figure | undefined {
  const { subject, figure, unit, formula, inputs, by, limit, remark, assumed } = calculation;
  const values = inputs.map(({ known }) => known.quantity.value);
  const result = by(...values);
  if (!result.ok || !Number.isFinite(result.value)) return undefined;
  const source = placeOf(subject, moment.file, inputs) ?? calculation.source;
  if (source === undefined) return undefined;
  const band = calculation.band ?? bandOf(values, inputs, by);
  const { least = Number.POSITIVE_INFINITY } = calculation;
  const bases: Basis[] = inputs.map(({ known }) => known.basis);
  if (assumed === true) bases.push('assumed');
  return {
    file: moment.file,
    subject,
    figure,
    quantity: quantity(result.value, unit),
    ...(band && { low: Math.min(band[0], least, result.value), high: Math.max(band[1], result.value) }),
    phase: moment.phase,
    set: moment.set,
    basis: weakest(bases),
    formula,
    inputs,
    source,
    ...(limit && { limit }),
    ...(remark !== undefined && remark !== '' && { remark }),
  };
}

/** Least and greatest result over the corners of the inputs' bands; every calculation here is monotonic in each input. */
function bandOf(
  values: readonly number[],
  inputs: readonly FigureInput[],
  by: Calculation['by'],
): readonly [low: number, high: number] | undefined {
  const banded: { i: number; low: number; high: number }[] = [];
  for (const [i, { known }] of inputs.entries()) {
    const { low, high } = known;
    if (low !== undefined && high !== undefined && low !== high) banded.push({ i, low, high });
  }
  if (banded.length === 0) return undefined;
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  let reachesNothing = false;
  const taken = banded.slice(0, MOST_BANDS);
  for (let corner = 0; corner < 1 << taken.length; corner++) {
    const at = [...values];
    for (const [bit, band] of taken.entries()) at[band.i] = corner & (1 << bit) ? band.high : band.low;
    const result = by(...at);
    if (!result.ok || !Number.isFinite(result.value)) {
      reachesNothing = true;
      continue;
    }
    low = Math.min(low, result.value);
    high = Math.max(high, result.value);
  }
  if (!(low <= high) || !Number.isFinite(low) || !Number.isFinite(high)) return undefined;
  // A corner that is refused lies beyond nothing at all: no drop, no current. So the band reaches down to it.
  return [reachesNothing ? Math.min(low, 0) : low, high];
}

/**
 * The tag that completed it: the last reading of the subject itself, else of a figure of it, else any reading, else a part,
 * in this file; where nothing of this file takes part, the first place there is.
 */
function placeOf(subject: string, file: string, inputs: readonly FigureInput[]): Source | undefined {
  let best: Source | undefined;
  let bestRank = -1;
  for (const each of inputs) {
    const { name, known } = each;
    const { source } = known;
    if (source === undefined || source.file !== file) continue;
    const rank = restsOnOwn(subject, each)
      ? 3
      : name.startsWith(`${subject} `)
        ? 2
        : known.basis === 'read'
          ? 1
          : 0;
    if (rank > bestRank || (rank === bestRank && best !== undefined && source.span.end > best.span.end)) {
      best = source;
      bestRank = rank;
    }
  }
  return best ?? inputs.find(({ known }) => known.source !== undefined)?.known.source;
}

/** A reading at the subject itself, or a figure that rests on one: not one taken at a fellow on the same node. */
function restsOnOwn(subject: string, { name, known, isOwn }: FigureInput): boolean {
  return isOwn ?? (known.basis === 'read' && (name === subject || name.startsWith(`${subject}.`)));
}

export function input(symbol: string, name: string, known: Known): FigureInput {
  return { name, symbol, known };
}

/** A figure as the input of another. */
export function inputFrom(symbol: string, figure: Figure): FigureInput {
  const { quantity: of, low, high, basis, source, formula } = figure;
  return {
    name: `${figure.subject} ${figure.figure}`,
    symbol,
    isOwn: figure.inputs.some((each) => restsOnOwn(figure.subject, each)),
    known: {
      quantity: of,
      ...(low !== undefined && { low }),
      ...(high !== undefined && { high }),
      basis,
      source,
      because: figure.remark === undefined ? formula : `${formula}; ${figure.remark}`,
      assumptions: assumptionsIn(figure.inputs),
    },
  };
}

export function assumed<U extends Unit>(
  value: number,
  unit: U,
  because: string,
  band?: readonly [number, number],
): Known<U> {
  const [low, high] = band ?? [];
  const of: Quantity<U> = quantity(value, unit);
  return {
    quantity: of,
    ...(low !== undefined && { low }),
    ...(high !== undefined && { high }),
    basis: 'assumed',
    because,
  };
}

/** Remarks of the figures that another rests on, each once. */
export function remarksOf(...figures: readonly (Figure | undefined)[]): string | undefined {
  const said = new Set<string>();
  for (const figure of figures) {
    for (const part of figure?.remark?.split('; ') ?? []) said.add(part);
  }
  return said.size === 0 ? undefined : [...said].join('; ');
}
