/** Owns the words that pictures show and say: an interface that another language fills in, English, and the numbers and names that go with them in any language. */
import type { BenchWords } from '../../bench/bench-words.ts';
import { sayHeld } from '../../bench/effect-words.ts';
import type { Role } from '../../bench/model.ts';
import type { Held } from '../../bench/signal-circuit.ts';
import type { RatingSystem } from '../../catalogue/valve.ts';
import type { Phase } from '../../sheet/model.ts';
import type { Quantity } from '../../units/si.ts';
import { writePercent, writeQuantity } from '../../units/write.ts';
import type { Numbers } from '../numbers.ts';

/** Fixed words alone. */
export interface PlotText {
  readonly none: string;
  readonly between: (low: string, high: string) => string;

  readonly before: string;
  readonly after: string;
  readonly notFitted: string;
  readonly frequency: string;
  readonly change: string;
  readonly responseTitle: (ref: string, role: string) => string;
  readonly returnTitle: (ref: string, role: string) => string;
  /** Of all changes of a mod together. */
  readonly modResponseTitle: (mod: string, refs: string) => string;
  readonly modReturnTitle: (mod: string, refs: string) => string;
  readonly levelAxis: (from: string, at: string) => string;
  readonly frequencyAxis: string;
  readonly levelsAlt: (line: string, levels: readonly string[]) => string;
  readonly levelAt: (frequency: string, level: string) => string;
  readonly responseAlt: (from: string, at: string, lowest: string, highest: string) => string;
  readonly halfPower: string;
  readonly heldNote: (held: readonly string[]) => string;
  readonly halfPowerNote: string;

  readonly loadLineTitle: (ref: string, type: string) => string;
  readonly voltsAxis: string;
  readonly currentAxis: string;
  readonly restLine: string;
  readonly loadOf: (load: string) => string;
  readonly loadTogether: (load: string) => string;
  readonly loadAlone: (load: string) => string;
  readonly limitLine: (watts: string, system: string) => string;
  readonly supplyAt: (node: string, volts: string) => string;
  readonly gridVolts: (volts: string) => string;
  readonly curvesAlt: (type: string, grids: string, screen: string | undefined) => string;
  readonly restAlt: (phase: string, at: readonly string[]) => string;
  readonly restValues: {
    readonly anode: string;
    readonly current: string;
    readonly bias: string;
    readonly screen: string;
    readonly dissipation: string;
    readonly ofLimit: (share: string) => string;
  };
  readonly loadNote: (
    transformer: string,
    primary: string,
    kind: 'push-pull' | 'single-ended',
    basis: 'reflected' | 'marked',
  ) => string;
  readonly loadShares: (together: string, alone: string) => string;
  readonly sharedLoadNote: (valves: number) => string;
  readonly curvesNote: (model: {
    readonly type: string;
    readonly name: string;
    readonly error: string;
    readonly screen: string | undefined;
    readonly phase: string;
    readonly isTriodeConnected: boolean;
  }) => string;
  readonly limitNote: (watts: string, system: string, source: string) => string;
  readonly restLineNote: (node: string, volts: string) => string;
  readonly signalNote: string;

  readonly supplyTitle: (rectifiers: string | undefined, first: string) => string;
  readonly voltsToGround: string;
  readonly nominal: string;
  readonly node: string;
  readonly through: string;
  /** Of a state; alone where there is only one. */
  readonly ripple: (phase: string | undefined) => string;
  readonly from: (node: string) => string;
  readonly supplyAlt: (nodes: number, first: string) => string;
  readonly nodeAlt: (node: string, from: string | undefined, said: readonly string[]) => string;
  readonly rippleAlt: (ripple: string) => string;
  readonly rippleNote: string;
  readonly unread: (nodes: string) => string;
}

/** What a drawing is given: the words of its language with all that is made from them. */
export interface PlotWords extends PlotText {
  /** A number alone, as along an axis: `−20`, `0.5`. */
  readonly formatNumber: (value: number) => string;
  /** A number with its unit: `63.8 mA`. */
  readonly formatQuantity: (quantity: Quantity, digits?: number) => string;
  /** What was computed, to three digits as the tables have it: `20.0 W`. */
  readonly formatFigure: (quantity: Quantity) => string;
  /** What was read, to the decimals that it was written with: `328.0 V`. */
  readonly formatWritten: (quantity: Quantity, digit: number | undefined) => string;
  /** A share of 1 in per cent. */
  readonly formatShare: (share: number) => string;
  /** The same of what was computed, as the tables have it: `87.0 %`. */
  readonly formatFigureShare: (share: number) => string;
  readonly phase: (phase: Phase) => string;
  readonly role: (role: Role) => string;
  readonly held: (held: Held) => string;
  readonly system: (system: RatingSystem) => string;
  /** Parts of one list or sentence after another. */
  readonly list: (items: readonly string[]) => string;
  readonly sentences: (sentences: readonly string[]) => string;
  /** A line's name with what it stands for: `before, 22 µF`. */
  readonly named: (name: string, value: string | undefined) => string;
  /** What the sheet's figures are told with, as a sentence. */
  readonly remark: (remark: string) => string;
  /** What is told in English whatever the language, in the marks by which the page finds it. */
  readonly foreign: (text: string) => string;
}

/** A real minus sign: a hyphen before a digit is hard to see. */
function minus(written: string): string {
  return written.replace(/-(?=\d)/g, '−');
}

/** The words of a language with its numbers and names. `isForeign`: what comes from below is English all the same. */
export function createPlotWords(
  text: PlotText,
  bench: BenchWords,
  systems: Readonly<Record<RatingSystem, string>>,
  isForeign: boolean,
  numbers: Numbers,
): PlotWords {
  const { decimal } = bench;
  const foreign = (said: string) => (isForeign ? `‹${said}›` : said);
  return {
    ...text,
    formatNumber: (value) => minus(writeQuantity({ value, unit: '1' }, { digits: 4, decimal })),
    formatQuantity: (quantity, digits = 3) => minus(writeQuantity(quantity, { digits, decimal })),
    formatFigure: numbers.figure,
    formatWritten: (quantity, digit) => numbers.written({ quantity, ...(digit !== undefined && { digit }) }),
    formatFigureShare: numbers.share,
    formatShare: (share) => writePercent(share, { decimal }),
    phase: (phase) => bench.phases[phase],
    role: (role) => bench.roles[role],
    held: (held) => sayHeld(held, bench),
    system: (system) => systems[system],
    list: (items) => items.join(', '),
    sentences: (sentences) => sentences.join(' '),
    named: (name, value) => (value === undefined || value === '' ? name : `${name}, ${value}`),
    remark: (remark) => `${foreign(`${remark.charAt(0).toUpperCase()}${remark.slice(1)}`)}.`,
    foreign,
  };
}

export const englishPlotWords: PlotText = {
  none: '–',
  between: (low, high) => `${low} to ${high}`,

  before: 'before',
  after: 'after',
  notFitted: 'not fitted',
  frequency: 'Frequency',
  change: 'Change',
  responseTitle: (ref, role) =>
    `Frequency response before and after the change of ${ref}${role === '' ? '' : ` (${role})`}`,
  returnTitle: (ref, role) =>
    `What is fed back before and after the change of ${ref}${role === '' ? '' : ` (${role})`}`,
  modResponseTitle: (mod, refs) => `Frequency response before and after the whole mod ${mod} (${refs})`,
  modReturnTitle: (mod, refs) => `What is fed back before and after the whole mod ${mod} (${refs})`,
  levelAxis: (from, at) => `Level from ${from} to ${at}, dB`,
  frequencyAxis: 'Frequency, Hz',
  levelsAlt: (line, levels) => `${line}: ${levels.join(', ')}.`,
  levelAt: (frequency, level) => `${frequency}: ${level}`,
  responseAlt: (from, at, lowest, highest) =>
    `Level from ${from} to ${at} against frequency, ${lowest} to ${highest}, as two lines.`,
  halfPower: '3 dB below its highest',
  heldNote: (held) => `Computed, not read. Held: ${held.join('; ')}.`,
  halfPowerNote: 'Dots: 3 dB below the line’s highest.',

  loadLineTitle: (ref, type) => `Load line of ${ref}, ${type}`,
  voltsAxis: 'Anode to cathode, V',
  currentAxis: 'Anode current, mA',
  restLine: 'DC line',
  loadOf: (load) => `load ${load}`,
  loadTogether: (load) => `both sides conducting: ${load}`,
  loadAlone: (load) => `one side alone: ${load}`,
  limitLine: (watts, system) => `${watts}, ${system} limit`,
  supplyAt: (node, volts) => `${node} ${volts}`,
  gridVolts: (volts) => `grid at ${volts}`,
  curvesAlt: (type, grids, screen) =>
    `Anode current against anode voltage of an average new ${type}${screen === undefined ? '' : ` with the screen at ${screen}`}, with the grid at ${grids}.`,
  restAlt: (phase, at) => `At rest ${phase}: ${at.join(', ')}.`,
  restValues: {
    anode: 'Anode to cathode',
    current: 'Anode current',
    bias: 'Grid to cathode',
    screen: 'Screen to cathode',
    dissipation: 'Anode dissipation',
    ofLimit: (share) => `${share} of the limit`,
  },
  loadNote: (transformer, primary, kind, basis) =>
    `Load: ${transformer}, ${primary} ${kind === 'push-pull' ? 'from anode to anode' : 'at its primary'}${basis === 'reflected' ? ' with the loudspeaker on its tap' : ' as it is marked'}, taken as a pure resistance.`,
  loadShares: (together, alone) =>
    `This valve works into ${together} while both sides conduct, into ${alone} while the other is cut off.`,
  sharedLoadNote: (valves) => `${valves} valves share a side, and the load with it.`,
  curvesNote: ({ type, name, error, screen, phase, isTriodeConnected }) =>
    `Curves: an average new ${type} by the model “${name}”, anode current to about ±${error}${screen === undefined ? '' : `, the screen held at ${screen} (${phase})`}${isTriodeConnected ? ', screen and anode together' : ''}. A valve that lies off them is not faulty for that.`,
  limitNote: (watts, system, source) => `Limit of the anode: ${watts}, ${system}; ${source}.`,
  restLineNote: (node, volts) =>
    `The DC line runs from ${node} at ${volts} without current to the point of rest.`,
  signalNote: 'The load’s line is that of a small enough signal: supply and screen stand still.',

  supplyTitle: (rectifiers, first) =>
    rectifiers === undefined ? `Supply from ${first}` : `Supply from ${rectifiers}`,
  voltsToGround: 'Volts to ground',
  nominal: 'nominal',
  node: 'Node',
  through: 'Through',
  ripple: (phase) => (phase === undefined ? 'ripple' : `ripple ${phase}`),
  from: (node) => `from ${node}`,
  supplyAlt: (nodes, first) =>
    `Direct volts of ${nodes} nodes of the supply in order from ${first}, as steps.`,
  nodeAlt: (node, from, said) =>
    `${node}${from === undefined ? '' : `, through ${from}`}: ${said.join(', ')}.`,
  rippleAlt: (ripple) => `ripple ${ripple} peak to peak`,
  rippleNote: 'Upright bars: ripple, peak to peak, on the same scale.',
  unread: (nodes) => `Not read: ${nodes}.`,
};
