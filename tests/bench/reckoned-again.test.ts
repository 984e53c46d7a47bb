/** Holds every figure to its own formula: who puts the numbers shown into it gets the number shown, within its band. */
import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { englishBenchWords } from '../../server/bench/bench-words.ts';
import { findEffect } from '../../server/bench/effect-words.ts';
import type { Figure } from '../../server/bench/model.ts';
import { isVague } from '../../server/bench/saying.ts';
import { healthySheets } from '../corpus/healthy.ts';
import { sickSheets } from '../corpus/sick.ts';
import { reckon } from '../support/formula.ts';
import { amplifierOf, asFound, figureOf, findFigure, linesOf } from './bench.ts';

const SAMPLES = new URL('../../samples/', import.meta.url);

/** Formulas that say how a number was found, and cannot be put into a pocket calculator. */
const NOT_FOR_A_CALCULATOR =
  /by the circuit’s nodes|stepped until it repeats|for each capacitor|direct-current solution|in opposite phase|Σ|\bmean$|as read$/;

/** A factor in a formula is printed with four digits. */
const PRINTED = 1e-3;

/** What is wrong with a figure; undefined where it is its formula's and within its band. */
function complaint(figure: Figure): string | undefined {
  const {
    subject,
    figure: name,
    quantity,
    low = quantity.value,
    high = quantity.value,
    formula,
    inputs,
  } = figure;
  const who = `${subject} ${name} ${quantity.value} (${low} to ${high}), ${formula}`;
  const slack = 1e-9 * Math.abs(quantity.value);
  if (quantity.value < low - slack || quantity.value > high + slack) return `${who}: not in its band`;
  for (const { symbol, known } of inputs) {
    const { value } = known.quantity;
    if (value < (known.low ?? value) || value > (known.high ?? value))
      return `${who}: ${symbol} = ${value} is not in its band`;
  }
  if (NOT_FOR_A_CALCULATOR.test(formula)) return undefined;
  const again = reckon(formula, new Map(inputs.map(({ symbol, known }) => [symbol, known.quantity.value])));
  if (Math.abs(again - quantity.value) <= PRINTED * Math.abs(quantity.value) + 1e-15) return undefined;
  return `${who}: by its formula ${again}, with ${inputs.map(({ symbol, known }) => `${symbol} = ${known.quantity.value}`).join(', ')}`;
}

function complaintsOf(job: string, chassis?: string): readonly string[] {
  return amplifierOf(job, chassis).phases.flatMap(({ figures }) =>
    figures.flatMap((each) => complaint(each) ?? []),
  );
}

/** A control that nobody set, with a capacitor past it. */
const BRIGHT = [
  'V1A = 12AX7, a R2 B+4, k R3 C2',
  'R2 = 100k',
  'C3 = 22n 400V, V1A.a to vol',
  'VR1 = 1M log, vol to gnd, wiper to V1B.g',
  'C4 = 120p, vol to V1B.g (bright)',
  'V1B = 12AX7, a R5 B+4, k R6',
] as const;

describe('a figure and its formula', () => {
  it('agree where a control without a setting makes the band wide and uneven', () => {
    const view = asFound(...BRIGHT);
    const lines = linesOf(view, 'C4');
    // At half turn an eighth of a logarithmic control lies below the wiper: 875 kΩ above, 125 kΩ below, 18.1 dB.
    expect(lines).toEqual([
      'C4 shelf-low 1520 Hz (1340 to 2720) assumed',
      'C4 shelf-high 12100 Hz (5310 to 167000) assumed',
      'C4 step-db 18.1 dB (5.81 to 41.9) assumed',
    ]);
    expect(figureOf(view, 'C4', 'shelf-high')).toBeCloseTo(1 / (2 * Math.PI * 120e-12 * 109.375e3), -3);
    const [low, high, step] = (['shelf-low', 'shelf-high', 'step-db'] as const).map((name) =>
      findFigure(view, 'C4', name),
    );
    // A band so wide is told alone; one of a factor of two is told with its number.
    expect([low, high, step].map((each) => each && isVague(each))).toEqual([false, true, true]);
  });

  it('tell no range of which either end is a band', () => {
    const amplifier = amplifierOf(
      `# Job\n\n## As found\n\n${BRIGHT.map((line) => `- ${line}`).join('\n')}\n\n## Work\n\n- C4 120p -> 4n7\n`,
    );
    const [change] = amplifier.changes;
    const said = change && findEffect(change, amplifier, englishBenchWords)?.signal;
    expect(said?.replaceAll('\u00a0', ' ')).toMatch(
      /^shelf low 1\.34 kHz to 2\.72 kHz → 34\.1 Hz to 69\.4 Hz; level/,
    );
    expect(said).not.toContain('shelf high');
  });

  it('agree where two like readings hide a drop, and where currents of a pair may be alike', () => {
    const view = asFound('L1 = 10H 100R, B+1 to B+2', 'B+1: 372', 'B+2: 372');
    expect(linesOf(view, 'L1').slice(0, 2)).toEqual([
      'L1 drop 0 V (0 to 1) read',
      'L1 current 0 A (0 to 0.01) fitted',
    ]);
  });

  it.each(
    ['chassis', 'jobs'].flatMap((folder) =>
      readdirSync(new URL(`${folder}/`, SAMPLES)).map((name) => [`${folder}/${name}`] as const),
    ),
  )('agree in the sample %s', (name) => {
    const text = readFileSync(new URL(name, SAMPLES), 'utf8');
    const under = /^chassis: \.\.\/(\S+)/m.exec(text)?.[1];
    const chassis = under === undefined ? undefined : readFileSync(new URL(under, SAMPLES), 'utf8');
    expect(complaintsOf(text, chassis)).toEqual([]);
  });

  it('agree in the corpus', () => {
    const sheets = [
      ...healthySheets().filter((_, i) => i % 3 === 1),
      ...sickSheets(1).filter((_, i) => i % 4 === 0),
    ];
    const complaints = sheets.flatMap((sheet) =>
      complaintsOf(sheet.text, 'chassis' in sheet ? sheet.chassis : undefined).map(
        (each) => `${sheet.name}: ${each}`,
      ),
    );
    expect(complaints).toEqual([]);
  });
});
