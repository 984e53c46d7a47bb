/**
 * Owns the words in which what the bench works out is said: what another language must fill in, and English. Numbers are written
 * here too, so that a decimal comma is one field. Words that authors wrote are no part of it, but for kinds of parts, which a
 * language may know.
 */
import type { PartClass } from '../dialect/tree.ts';
import type { Phase } from '../sheet/model.ts';
import type { FigureName, Role } from './model.ts';
import type { Stop } from './walk.ts';

export interface BenchWords {
  readonly decimal: '.' | ',';
  readonly to: string;
  readonly none: string;
  readonly phases: Readonly<Record<Phase, string>>;
  readonly roles: Readonly<Record<Role, string>>;
  readonly roleOf: (role: string, served: string) => string;
  readonly likely: string;
  readonly classes: Readonly<Record<PartClass, string>>;
  /** Kinds of parts, `carbon film` before `film`: a word that is not among them stays as it was written. */
  readonly kinds: Readonly<Record<string, string>>;
  readonly stops: Readonly<Record<Stop, string>>;
  readonly figures: Readonly<Record<FigureName, string>>;
  readonly held: {
    readonly parts: Readonly<Record<Phase, string>>;
    readonly averageValves: string;
    readonly readings: (phase: string) => string;
    readonly loadCurrent: string;
    readonly valveConstants: (refs: string) => string;
    readonly setting: (ref: string, where: string) => string;
    readonly ofTrack: (share: string) => string;
    readonly assumed: (said: string) => string;
    readonly switchClosed: (ref: string) => string;
    readonly loopOpen: (ref: string) => string;
    readonly load: (ref: string, ohms: string) => string;
    readonly noLoad: (nodes: string) => string;
    readonly noStrays: string;
    readonly atRest: (nodes: string) => string;
  };
  readonly effects: {
    readonly direct: string;
    readonly directExpected: string;
    readonly expected: string;
    readonly cathodeCurrent: string;
    readonly shelf: string;
    readonly ofLimit: (share: string, limit: string) => string;
    readonly path: (from: string, at: string) => string;
    readonly levelSame: (path: string, frequencies: string) => string;
    readonly levelMoved: (path: string, levels: string) => string;
  };
}

export const englishBenchWords: BenchWords = {
  decimal: '.',
  to: 'to',
  none: 'none',
  phases: {
    factory: 'chassis sheet',
    'as-found': 'as found',
    work: 'during the work',
    'as-left': 'as left',
    noted: 'noted',
  },
  roles: {
    'anode-load': 'anode load',
    'cathode-resistor': 'cathode resistor',
    'cathode-bypass': 'cathode bypass',
    coupling: 'coupling',
    'grid-leak': 'grid leak',
    'grid-stopper': 'grid stopper',
    'screen-resistor': 'screen resistor',
    dropper: 'dropper',
    reservoir: 'reservoir',
    smoothing: 'smoothing',
    'sense-resistor': 'sense resistor',
    bleeder: 'bleeder',
    choke: 'choke',
    'output-transformer': 'output transformer',
    'mains-transformer': 'mains transformer',
    rectifier: 'rectifier',
    tail: 'tail',
    feedback: 'feedback',
    snubber: 'snubber',
    volume: 'volume control',
    bright: 'bright',
    tone: 'tone',
    'treble-cut': 'treble cut',
    'feedback-loop': 'feedback loop',
    'feedback-shelf': 'feedback shelf',
    'cathode-follower': 'cathode follower',
    cathodyne: 'cathodyne',
    'long-tail-pair': 'long tail pair',
    paraphase: 'paraphase',
    'grid-return': 'grid return',
    'bias-supply': 'bias supply',
    standby: 'standby',
    'heater-reference': 'heater reference',
    'reverb-drive': 'reverb drive',
    'reverb-recovery': 'reverb recovery',
    unknown: '',
  },
  roleOf: (role, served) => `${role} of ${served}`,
  likely: 'likely',
  classes: {
    resistor: 'resistor',
    potentiometer: 'potentiometer',
    capacitor: 'capacitor',
    inductor: 'inductor',
    transformer: 'transformer',
    valve: 'valve',
    diode: 'diode',
    transistor: 'transistor',
    'integrated-circuit': 'integrated circuit',
    fuse: 'fuse',
    switch: 'switch',
    connector: 'connector',
    loudspeaker: 'loudspeaker',
    lamp: 'lamp',
    relay: 'relay',
    tank: 'tank',
    'test-point': 'test point',
    thermistor: 'thermistor',
    battery: 'battery',
    'transformer-or-transistor': 'transformer or transistor',
    other: 'other',
  },
  kinds: {},
  stops: {
    supply: 'Supply',
    input: 'Input and gain stages',
    tone: 'Volume and tone',
    splitter: 'Phase splitter',
    output: 'Output',
    feedback: 'Feedback',
    reverb: 'Reverb',
    mechanics: 'Sockets, switches and hardware',
    unplaced: 'Not placed: nothing says what these do',
  },
  figures: {
    drop: 'drop',
    current: 'current',
    dissipation: 'dissipation',
    loading: 'share of its rated watts',
    voltage: 'voltage',
    'cold-voltage': 'cold voltage',
    margin: 'voltage margin',
    corner: 'corner',
    'shelf-low': 'shelf low',
    'shelf-high': 'shelf high',
    'step-db': 'step',
    'level-82': 'level 82',
    'level-400': 'level 400',
    'level-1000': 'level 1000',
    'level-5000': 'level 5000',
    'feedback-db': 'feedback',
    energy: 'energy',
    'bleed-time': 'time to bleed down',
    ripple: 'ripple (p-p)',
    attenuation: 'attenuation',
    'attenuation-by-parts': 'attenuation by parts',
    'effective-capacitance': 'effective capacitance',
    'cathode-current': 'cathode current',
    'anode-current': 'anode current',
    'screen-current': 'screen current',
    'anode-dissipation': 'anode dissipation',
    'screen-dissipation': 'screen dissipation',
    'anode-loading': 'share of its anode limit',
    'screen-loading': 'share of its screen limit',
    bias: 'bias',
    gain: 'gain',
    'gain-db': 'level',
    'output-impedance': 'output impedance',
    'input-impedance': 'input impedance',
    insulation: 'leak',
    'reflected-load': 'reflected load',
    power: 'power',
    'heater-current': 'heater current',
    'heater-loading': 'heater loading',
    'loaded-voltage': 'loaded voltage',
    'loaded-ripple': 'loaded ripple',
    'current-loading': 'current loading',
    'peak-current': 'peak current',
    'peak-inverse': 'peak inverse',
    'reservoir-loading': 'reservoir loading',
    mismatch: 'mismatch',
    expected: '',
    answer: 'answer',
  },
  held: {
    parts: {
      factory: 'every other part as on the chassis sheet',
      'as-found': 'every other part as found',
      work: 'every other part as it is after the work',
      'as-left': 'every other part as left',
      noted: 'every other part noted',
    },
    averageValves: 'average new valves, solved and not read',
    readings: (phase) => `volts as they were read, ${phase}`,
    loadCurrent: 'the current that is drawn',
    valveConstants: (refs) => `${refs} at the catalogue’s typical point`,
    setting: (ref, where) => `${ref} at ${where}`,
    ofTrack: (share) => `${share} of its track`,
    assumed: (said) => `${said} (assumed)`,
    switchClosed: (ref) => `${ref} closed`,
    loopOpen: (ref) => `feedback loop open at ${ref}`,
    load: (ref, ohms) => `${ref} as a load of ${ohms}`,
    noLoad: (nodes) => `no load is written at ${nodes}, so no level is told`,
    noStrays: 'capacitances of valves and wiring left out',
    atRest: (nodes) => `no signal from ${nodes}`,
  },
  effects: {
    direct: 'DC',
    directExpected: 'DC, expected',
    expected: 'expected',
    cathodeCurrent: 'cathode current',
    shelf: 'shelf',
    ofLimit: (share, limit) => `${share} of ${limit}`,
    path: (from, at) => `${from} to ${at}`,
    levelSame: (path, frequencies) => `level from ${path} the same at ${frequencies}`,
    levelMoved: (path, levels) => `level from ${path} moved: ${levels}`,
  },
};
