/**
 * Owns the words of the dialect: kinds of parts, states, work, and the words that can never name a node.
 * A word is here because a bench writes it; what it does to a figure is said where figures are made.
 */
import type { PartClass, State, Work } from './tree.ts';

/** Words that say what kind of part it is, for any class: a kind word never starts a remark. */
const KINDS: readonly string[] = [
  // Resistors.
  'carbon composition comp film metal oxide wirewound ww cement ceramic flameproof fusible vitreous',
  'enamelled aluminium clad thick thin cc cf mf mo',
  // Capacitors.
  'electrolytic elec elco bipolar non-polarised nonpolarised np polyester pet polypropylene pp',
  'polystyrene mica silver silvered paper oil tantalum mylar foil disc can multi-section axial radial',
  'snap-in x1 x2 y1 y2 y4 class np0 c0g x7r low-esr green dipped',
  // Pots and switches.
  'log lin linear audio antilog anti-log reverse taper trimmer trim preset dual ganged pot spst spdt',
  'dpst dpdt 3pdt toggle rocker rotary standby switched',
  // Inductors, transformers, reverb.
  'choke mains power output driver interstage input phase filament heater reverb tank spring swinging',
  'smoothing toroidal laminated ultralinear ultra-linear push-pull single-ended se isolating',
  // Semiconductors.
  'zener bridge rectifier silicon germanium selenium schottky led fast recovery npn pnp jfet mosfet',
  'fet n-channel p-channel opamp op-amp regulator optocoupler',
  // Valves.
  'triode pentode tetrode beam twin nos matched pair quad cathode follower',
  // Fuses, lamps, loudspeakers, connectors.
  'slow slow-blow slo-blo quick quick-blow time-lag anti-surge antisurge semi-delay thermal',
  'resettable glass neon incandescent bulb alnico ferrite jack socket plug mono stereo iec inlet',
  'octal noval b9a b7g tag strip',
  // Any part.
  'new old original vintage modern replacement used pulled mil spec type style high low voltage noise',
  'tolerance precision grey gray brown black white yellow blue red green',
];

const KIND_WORDS: ReadonlySet<string> = new Set(KINDS.flatMap((line) => line.split(' ')));

export function isKindWord(word: string): boolean {
  return KIND_WORDS.has(word.toLowerCase());
}

/** Spellings of states, longest first where one begins another. */
const STATES: readonly (readonly [string, State])[] = [
  ['dry joints', 'dry joint'],
  ['dry-joint', 'dry joint'],
  ['dry joint', 'dry joint'],
  ['cold joint', 'dry joint'],
  ['cold solder joint', 'dry joint'],
  ['charred', 'charred'],
  ['scorched', 'charred'],
  ['burned', 'charred'],
  ['burnt', 'charred'],
  ['cracked', 'cracked'],
  ['lifted', 'lifted'],
  ['leaking', 'leaking'],
  ['leaky', 'leaking'],
  ['leaks', 'leaking'],
  ['noisy', 'noisy'],
  ['scratchy', 'scratchy'],
  ['crackly', 'scratchy'],
  ['microphonic', 'microphonic'],
  ['glowing', 'glowing'],
  ['glows', 'glowing'],
  ['red-plating', 'glowing'],
  ['redplating', 'glowing'],
  ['gassy', 'gassy'],
  ['missing', 'missing'],
];

/** The state word at `at`, on a word's boundary. */
export function scanState(
  text: string,
  at: number,
): { readonly state: State; readonly end: number } | undefined {
  if (!/[a-z]/i.test(text.charAt(at))) return undefined;
  const rest = text.slice(at, at + 24).toLowerCase();
  for (const [spelling, state] of STATES) {
    if (rest.startsWith(spelling) && !/[a-z0-9-]/.test(rest.charAt(spelling.length))) {
      return { state, end: at + spelling.length };
    }
  }
  return undefined;
}

const WORK: readonly (readonly [string, Work])[] = [
  ['re-soldered', 'resoldered'],
  ['resoldered', 'resoldered'],
  ['reflowed', 'resoldered'],
  ['removed', 'removed'],
  ['deleted', 'removed'],
  ['omitted', 'removed'],
  ['same', 'same'],
  ['unchanged', 'same'],
  ['raised', 'raised'],
  ['moved', 'moved'],
];

/** Work that is not a new value, at `at`, on a word's boundary. */
export function scanWork(
  text: string,
  at: number,
): { readonly work: Work; readonly end: number } | undefined {
  if (!/[a-z]/i.test(text.charAt(at))) return undefined;
  const rest = text.slice(at, at + 16).toLowerCase();
  for (const [spelling, work] of WORK) {
    if (rest.startsWith(spelling) && !/[a-z0-9-]/.test(rest.charAt(spelling.length))) {
      return { work, end: at + spelling.length };
    }
  }
  return undefined;
}

/** Keywords, electrode letters and units: none of them can name a node. */
const RESERVED: ReadonlySet<string> = new Set(
  (
    'a g g1 g2 g3 k h f b c e d s anode plate grid screen cathode heater filament suppressor pin to from across at on ' +
    'and or with for by of the was is now not as if then plus minus ct wiper accept keep mod same removed resoldered ' +
    'raised moved drawn seen out in open short ol date about setting esr v kv mv uv ma ua na amp amps w mw kw r k m u n p ' +
    'meg ohm ohms uf nf pf mfd mmf hz khz ac dc vac vdc vrms vpp rms pp peak volt volts min mins minutes sec hot cold ' +
    'off warm clipping discharged lamp variac dummy speaker load signal charred cracked lifted dry leaking noisy ' +
    'scratchy microphonic glowing gassy missing new old'
  ).split(' '),
);

/** Kind words only beside another one (`low noise`, `high voltage`): alone they name the ends of a divider or a bank. */
const ALSO_NODES: ReadonlySet<string> = new Set(['low', 'high']);

export function isReservedWord(word: string): boolean {
  const lower = word.toLowerCase();
  return RESERVED.has(lower) || (KIND_WORDS.has(lower) && !ALSO_NODES.has(lower));
}

/** In words, for messages. */
const CLASS_NAMES: Readonly<Record<PartClass, string>> = {
  resistor: 'a resistor',
  potentiometer: 'a pot',
  capacitor: 'a capacitor',
  inductor: 'a choke',
  transformer: 'a transformer',
  valve: 'a valve',
  diode: 'a diode',
  transistor: 'a transistor',
  'integrated-circuit': 'an integrated circuit',
  fuse: 'a fuse',
  switch: 'a switch',
  connector: 'a connector',
  loudspeaker: 'a loudspeaker',
  lamp: 'a lamp',
  relay: 'a relay',
  tank: 'a reverb tank',
  'test-point': 'a test point',
  thermistor: 'a thermistor',
  battery: 'a battery',
  'transformer-or-transistor': 'a transformer or a transistor',
  other: 'a part',
};

export function nameOfClass(of: PartClass): string {
  return CLASS_NAMES[of];
}
