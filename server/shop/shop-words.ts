/**
 * Owns the words in which what many sheets say together is told: what another language must fill in, and English. Judgements are
 * made in the language that they are asked for; what rules and authors say stays as it is.
 */
import { type BenchWords, englishBenchWords } from '../bench/bench-words.ts';
import type { State } from '../dialect/tree.ts';
import { englishModWords } from './english-mod-words.ts';

export interface ShopWords {
  readonly job: (job: string) => string;
  readonly jobTitled: (job: string, title: string) => string;
  readonly revision: (model: string, revision: string) => string;
  readonly notWritten: string;
  readonly nothingFitted: string;
  readonly asDrawn: string;
  readonly between: (from: string, to: string) => string;
  readonly primary: string;
  readonly works: Readonly<Record<'removed' | 'same' | 'resoldered' | 'raised' | 'moved', string>>;
  readonly compare: typeof englishCompareWords;
  readonly mods: typeof englishModWords;
  readonly history: typeof englishHistoryWords;
  readonly failures: typeof englishFailureWords;
  readonly groups: typeof englishGroupWords;
  readonly substitutes: typeof englishSubstituteWords;
}

const englishCompareWords = {
  verdicts: { changed: 'changed', added: 'added', removed: 'removed', moved: 'other ref', same: 'same' },
  /** What a reader must know of all effects. */
  effectNote:
    'Each effect is of that one difference in the first amplifier, all else as it stands there: DC apart from signal.',
  settledNote:
    'Solved on both sides from the parts alone, at one mains and with average new valves, all differences together. Nothing of it was read.',
  isPart: {
    was: 'The first rests on a sheet that cannot be read: what is told as added may stand there.',
    is: 'The second rests on a sheet that cannot be read: what is told as removed may stand there.',
  },
  ratingsNote:
    'Results are only as good as what is written: no warning never means that an amplifier may be touched.',
  differences: {
    value: '',
    type: '',
    'voltage-rating': 'working voltage',
    'power-rating': 'rated watts',
    'current-rating': 'rated current',
    tolerance: 'tolerance',
    kind: 'kind',
    windings: 'windings',
    speed: 'fuse speed',
    place: 'connected',
  },
  matched: {
    carried: 'matched by: said to be the same part',
    place: 'matched by: the same place and role',
    role: 'matched by: the same role',
    ref: 'matched by: the same ref only',
  },
  notSeen: 'not looked at in the second',
  seenAsDrawn: 'looked at in the second: as drawn',
  isNew: 'new in the second',
  isGone: 'in the first only',
  firstUnread: 'in the second, and not read in the first',
  secondUnread: 'in the first, and not read in the second',
  replacedBy: (refs: string) => `${refs} in its place, and what that does is told here`,
  inPlaceOf: (refs: string) => `in place of ${refs}`,
  now: (subject: string, now: string) => `${subject} (now ${now})`,
  cathodeCurrent: 'cathode current',
  ripple: 'ripple',
  counts: {
    changed: (n: number) => `${n} changed`,
    added: (n: number) => `${n} added`,
    removed: (n: number) => `${n} removed`,
    moved: (n: number) => `${n} under another ref`,
    same: (n: number) => `${n} the same`,
  },
  noParts: 'Neither sheet fits a part.',
};

const englishHistoryWords = {
  notThere: 'not there',
  /** What was read, where a unit alone does not say it. */
  quantities: {
    voltage: 'DC',
    'ac-voltage': 'AC',
    ripple: 'ripple',
    current: 'current',
    resistance: 'resistance',
    capacitance: 'capacitance',
    inductance: 'inductance',
    esr: 'ESR',
    insulation: 'insulation',
    leakage: 'leakage',
    setting: 'setting',
    arms: 'arms',
    halves: 'halves',
    power: 'power',
    frequency: 'frequency',
    temperature: 'temperature',
    time: 'time',
  },
  waves: { rms: 'rms', pp: 'pp', peak: 'peak', ac: 'ac' },
};

const englishFailureWords = {
  states: {
    charred: 'charred',
    cracked: 'cracked',
    lifted: 'lifted',
    'dry joint': 'dry joint',
    leaking: 'leaking',
    noisy: 'noisy',
    scratchy: 'scratchy',
    microphonic: 'microphonic',
    glowing: 'glowing',
    gassy: 'gassy',
    missing: 'missing',
  } satisfies Record<State, string>,
  reads: (ref: string, special: string) => `${ref} reads ${special}`,
  specials: { open: 'open', short: 'short' },
  replaced: (ref: string, was: string, is: string) => `${ref} ${was} replaced by ${is}`,
  noReason: 'nothing is written of why',
  beside: (words: string) => `beside it stands: ${words}`,
  others: {
    precaution: 'a precaution, as the sheet says',
    twin: 'it went out with its like',
    modification: 'a modification',
    correction: 'a rating put right',
    'measured-good': 'it measured well before it went out',
  },
  isNow: (was: string, is: string) => `${was} is now ${is}`,
  after: (said: string, rule: string) => `${said}, after ${rule}`,
  twinFailed: (twin: string, ref: string) => `${twin} had failed, and nothing is written of ${ref}`,
  underHeading: (heading: string) => `under the heading ${heading}`,
  ofMarking: (percent: string) => `read ${percent} of its marking`,
};

const plurals = {
  resistor: 'resistors',
  potentiometer: 'potentiometers',
  capacitor: 'capacitors',
  inductor: 'inductors',
  transformer: 'transformers',
  valve: 'valves',
  diode: 'diodes',
  transistor: 'transistors',
  'integrated-circuit': 'integrated circuits',
  fuse: 'fuses',
  switch: 'switches',
  connector: 'connectors',
  loudspeaker: 'loudspeakers',
  lamp: 'lamps',
  relay: 'relays',
  tank: 'tanks',
  'test-point': 'test points',
  thermistor: 'thermistors',
  battery: 'batteries',
  'transformer-or-transistor': 'transformer or transistors',
  other: 'others',
};

const englishGroupWords = {
  valveRoles: {
    rectifier: 'rectifier valve',
    gain: 'gain-stage valve',
    splitter: 'phase-splitter valve',
    output: 'output valve',
    reverb: 'reverb valve',
  },
  /** Where the role alone is no name of a part: `coupling capacitor`. */
  roleOfClass: (role: string, of: string) => `${role} ${of}`,
  at: (role: string, rail: string) => `${role} at ${rail}`,
  plurals,
  capacitors: {
    electrolytic: 'electrolytic capacitors',
    tantalum: 'tantalum capacitors',
    film: 'film capacitors',
    paper: 'paper capacitors',
    mica: 'mica capacitors',
    'ceramic-class-1': 'ceramic, class 1 capacitors',
    'ceramic-class-2': 'ceramic, class 2 capacitors',
    unwritten: 'capacitors, kind not written',
  },
  resistors: {
    'carbon-composition': 'carbon composition resistors',
    'carbon-film': 'carbon film resistors',
    'metal-film': 'metal film resistors',
    'metal-oxide': 'metal oxide resistors',
    wirewound: 'wirewound resistors',
    unwritten: 'resistors, kind not written',
  },
  valves: {
    triode: 'triodes',
    pentode: 'pentodes',
    'beam-tetrode': 'beam tetrodes',
    rectifier: 'rectifier valves',
    unknown: 'valves, type not known',
  },
  rated: {
    capacitor: 'of their working voltage',
    resistor: 'of their rated watts',
    valve: 'of their anode dissipation limit',
  },
  loads: [
    'below 50\u00a0%',
    'at 50 to 75\u00a0%',
    'at 75 to 90\u00a0%',
    'at 90 to 100\u00a0%',
    'above 100\u00a0%',
  ] as readonly string[],
  loaded: (parts: string, load: string, rated: string) => `${parts} ${load} ${rated}`,
  ages: [
    'less than 2 years old',
    '2 to 5 years old',
    '5 to 10 years old',
    '10 to 20 years old',
    '20 to 40 years old',
    '40 years old or more',
  ] as readonly string[],
  aged: (parts: string, age: string) => `${parts} ${age}`,
};

const englishSubstituteWords = {
  notKnown: 'what it changes is not known here',
  withSignal: (said: string) => `with signal: ${said}`,
  room: 'look whether it has room',
  setAgain: 'set and measure the idle current again, or the cathode’s volts where there is nothing to set',
};

export const englishShopWords: ShopWords = {
  job: (job) => `job ${job}`,
  jobTitled: (job, title) => `job ${job} (${title})`,
  revision: (model, revision) => `${model}, revision ${revision}`,
  notWritten: 'not written',
  nothingFitted: 'nothing is fitted on it',
  asDrawn: 'as drawn',
  between: (from, to) => `${from} to ${to}`,
  primary: 'primary',
  works: {
    removed: 'removed',
    same: 'same',
    resoldered: 'resoldered',
    raised: 'raised',
    moved: 'moved',
  },
  compare: englishCompareWords,
  mods: englishModWords,
  history: englishHistoryWords,
  failures: englishFailureWords,
  groups: englishGroupWords,
  substitutes: englishSubstituteWords,
};

/** The language that a judgement is told in. */
export interface ShopLanguage {
  readonly terms: BenchWords;
  readonly says: ShopWords;
  /** What comes in English from below: as it is, or in the marks by which a page in another language finds it. */
  readonly foreign: (text: string) => string;
}

export const englishShop: ShopLanguage = {
  terms: englishBenchWords,
  says: englishShopWords,
  foreign: (text) => text,
};
