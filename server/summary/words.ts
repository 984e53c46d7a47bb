/**
 * Owns every fixed word of the summaries, in one table, so that another language is another table. Nothing here depends
 * on a sheet; numbers and the author's words are put in by those who ask.
 */
import type { Role } from '../bench/model.ts';
import type { PartClass, ReadingQuantity } from '../dialect/tree.ts';
import type { Severity } from '../rules/rule.ts';
import type { Phase, SheetKind } from '../sheet/model.ts';

export const words = {
  language: 'en-GB',
  lines: (first: number, last: number) => (first === last ? `line ${first}` : `lines ${first}–${last}`),
  none: '–',
  tableInText: 'Table in the text',
  about: 'about',

  kinds: {
    job: 'Job sheet',
    chassis: 'Chassis sheet',
    mod: 'Mod sheet',
    shop: 'Shop sheet',
  } satisfies Record<SheetKind, string>,
  untitled: 'Untitled sheet',
  phases: {
    factory: 'Chassis sheet',
    'as-found': 'As found',
    work: 'During the work',
    'as-left': 'As left',
    noted: 'Noted',
  } satisfies Record<Phase, string>,

  /** Front-matter keys with what they are called on a page. */
  fields: {
    job: 'Job',
    model: 'Model',
    revision: 'Revision',
    chassis: 'Chassis sheet',
    serial: 'Serial number',
    received: 'Received',
    returned: 'Finished',
    hours: 'Hours',
    charge: 'Charge',
    limit: 'Spending limit',
    warranty: 'Warranty',
    returns: 'Earlier job',
    mains: 'Made for mains',
    name: 'Name',
    purpose: 'Purpose',
    follows: 'Follows',
  },

  severities: { error: 'Error', warning: 'Warning', info: 'Note', hint: 'Hint' } satisfies Record<
    Severity,
    string
  >,
  /** Shapes that tell severities apart where colour cannot. */
  marks: { error: '■', warning: '▲', info: '●', hint: '○' } satisfies Record<Severity, string>,

  bench: {
    title: 'Summary for the bench',
    standing: (count: number) =>
      count === 0 ? 'No finding stands' : count === 1 ? '1 finding stands' : `${count} findings stand`,
    cleared: (count: number) => `${count} cleared`,
    accepted: (count: number) => `${count} accepted`,
    complaint: 'Complaint',
    intake: 'Intake',
    findings: 'Findings',
    findingsNone:
      'No rule has anything to say of what is written. That speaks only of what was read and written down.',
    standingHead: 'Standing',
    acceptedHead: 'Accepted',
    clearedHead: 'Cleared',
    reason: 'Accepted:',
    follows: 'With it:',
    foundFitted: 'Found fitted otherwise than drawn',
    changes: 'Parts changed',
    effectHeld: (held: string) => `Held: ${held}.`,
    effectsHeld: (held: string) =>
      `What each change does is computed, not read: one change at a time, before → after, with ${held}.`,
    effectsUntold: (told: number, untold: number) =>
      `Effects are worked out for the first ${told} changes; ${untold} more stand without.`,
    changesNone: 'No change of a part is written.',
    part: 'Part',
    was: 'Was',
    is: 'Is',
    why: 'Remark',
    where: 'Where',
    cautionTop: 'Lethal voltages inside, also with the plug out.',
    cautionLink: 'Read the cautions first.',
    drawn: 'As drawn',
    found: 'As found',
    states: 'Seen on parts',
    state: 'State',
    seen: 'When',
    keeps: 'Asked to be kept as it is',
    readings: 'Readings',
    normal: 'In normal running',
    measurements: 'Measured on parts and connections',
    duringWork: 'During the work',
    point: 'Point',
    quantity: 'What',
    difference: 'Difference',
    mains: (volts: string) => `mains ${volts}`,
    mainsUnwritten: 'mains not written',
    mainsMoved: (share: string) =>
      `The mains itself moved by ${share} between the two columns; the readings are not corrected for it.`,
    earlier: 'earlier',
    valves: 'Valve dissipation',
    valve: 'Valve',
    limit: 'Limit',
    noLimit: 'no limit known',
    valvesNote:
      'Bars run from nothing; the upright line is the limit, and what lies beyond it is striped. Ratings are those of the system named beside them; a design-centre limit is held against running at the nominal mains.',
    barOf: (value: string, share: string, limit: string) => `${value}, ${share} of the limit of ${limit}`,
    anode: 'anode',
    screen: 'screen',
    capacitors: 'Working voltage of capacitors',
    capacitor: 'Capacitor',
    cold: 'At switch-on, high mains',
    coldNote:
      'Switch-on: what stands there before the valves draw current, computed from the transformer and the rectifier as written.',
    ofRating: (rating: string) => `of ${rating}`,
    questions: 'Questions worked out',
    question: 'Question',
    answer: 'Answer',
    tasks: 'Still to do',
    orders: 'Parts to order',
    orderWas: 'In place of',
    leftAlone: 'Seen and left alone',
    declined: 'Declined',
    nextTime: 'Next time',
    owner: 'Told to the owner',
    ownerMissing:
      'The sheet has no Owner section. The summary for the customer will list parts and checks, but tell nothing in words.',
    photos: 'Photographs',
    cautions: 'Cautions',
    cautionsHere: 'For this amplifier',
    cautionsAlways: 'Always',
    rests: 'What this rests on',
    restsOn: (sheet: string, chassis: string | undefined) =>
      chassis === undefined
        ? `Drawn from the sheet ${sheet}. Lines are those of that sheet.`
        : `Drawn from the sheet ${sheet} with the chassis sheet ${chassis} under it. Lines without a name are those of ${sheet}.`,
    restsMore:
      'Figures are computed from what was read and what is fitted, as written; each limit says whose it is. A missing warning means only that nothing was read that would raise one.',
  },

  quantities: {
    voltage: 'DC volts',
    'ac-voltage': 'AC volts',
    ripple: 'ripple',
    current: 'current',
    resistance: 'resistance',
    capacitance: 'capacitance',
    inductance: 'inductance',
    esr: 'ESR',
    insulation: 'insulation',
    leakage: 'leakage',
    setting: 'setting',
    arms: 'arms, clockwise first',
    halves: 'halves, in order',
    power: 'power',
    frequency: 'frequency',
    temperature: 'temperature',
    time: 'time',
  } satisfies Record<ReadingQuantity, string>,
  waves: { rms: 'rms', pp: 'peak to peak', peak: 'peak', ac: 'AC' },
  between: (at: string, to: string) => `${at} to ${to}`,
  at: 'at',
  open: 'open',
  short: 'short',

  works: {
    removed: 'taken out',
    same: 'renewed with the same',
    resoldered: 'resoldered',
    raised: 'raised off the board',
    moved: 'moved',
  },
  notFitted: 'not fitted',
  notWritten: 'not written',

  /** What a role is called on the bench. */
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
    tail: 'tail resistor',
    feedback: 'feedback',
    snubber: 'snubber',
    volume: 'volume control',
    bright: 'bright network',
    tone: 'tone network',
    'treble-cut': 'treble cut',
    'feedback-loop': 'feedback loop',
    'feedback-shelf': 'shelf of the feedback loop',
    'cathode-follower': 'cathode follower',
    cathodyne: 'cathodyne phase splitter',
    'long-tail-pair': 'long-tail phase splitter',
    paraphase: 'paraphase phase splitter',
    'grid-return': 'holds a grid still for signals',
    'bias-supply': 'bias supply',
    standby: 'standby',
    'heater-reference': 'heater reference',
    'reverb-drive': 'reverb drive',
    'reverb-recovery': 'reverb recovery',
    unknown: '',
  } satisfies Record<Role, string>,
} as const;

/** A part in plain words for its owner: what it is called, and what such a part does. */
export interface PlainPart {
  readonly name: string;
  readonly does: string;
}

/** By role, where the sheet's connections tell it. */
export const plainRoles: Readonly<Partial<Record<Role, PlainPart>>> = {
  reservoir: {
    name: 'main smoothing capacitor',
    does: 'holds the power supply steady and takes most of the hum out of it',
  },
  smoothing: { name: 'smoothing capacitor', does: 'takes the rest of the hum out of the supply to a stage' },
  coupling: {
    name: 'coupling capacitor',
    does: 'passes the signal from one stage to the next and holds the supply back',
  },
  'cathode-bypass': {
    name: 'bypass capacitor',
    does: 'sets how strongly a valve amplifies, low notes above all',
  },
  snubber: { name: 'snubber', does: 'calms sharp edges that the supply or the output would ring with' },
  'anode-load': { name: 'load resistor', does: 'turns a valve’s current into signal' },
  'cathode-resistor': { name: 'cathode resistor', does: 'sets how hard a valve runs' },
  'sense-resistor': { name: 'measuring resistor', does: 'lets us measure how hard a valve runs' },
  'grid-leak': { name: 'grid resistor', does: 'keeps a valve’s input at its proper rest' },
  'grid-stopper': { name: 'stopper resistor', does: 'keeps a valve from picking up or making radio signals' },
  'screen-resistor': { name: 'screen resistor', does: 'protects an output valve’s inner grid' },
  dropper: { name: 'supply resistor', does: 'brings the supply down to what a stage needs' },
  bleeder: { name: 'bleed resistor', does: 'empties the power supply after the amplifier is switched off' },
  tail: { name: 'tail resistor', does: 'keeps the two halves of a stage in step' },
  feedback: { name: 'feedback resistor', does: 'returns a little of the output to steady the sound' },
  choke: { name: 'choke', does: 'smooths the power supply' },
  'output-transformer': { name: 'output transformer', does: 'couples the output valves to the loudspeaker' },
  'mains-transformer': { name: 'mains transformer', does: 'makes the amplifier’s supplies from the mains' },
  rectifier: { name: 'rectifier', does: 'turns alternating into direct current for the supply' },
};

/** By class, where nothing tells the role. */
export const plainClasses: Readonly<Record<PartClass, PlainPart>> = {
  resistor: { name: 'resistor', does: 'sets a current or a voltage' },
  potentiometer: { name: 'control', does: 'a knob, or a setting inside' },
  capacitor: { name: 'capacitor', does: 'passes signals or smooths a supply' },
  inductor: { name: 'choke', does: 'smooths or filters' },
  transformer: { name: 'transformer', does: 'changes one voltage into another' },
  valve: { name: 'valve', does: 'amplifies, or makes direct current for the supply' },
  diode: { name: 'diode', does: 'lets current pass one way only' },
  transistor: { name: 'transistor', does: 'amplifies or switches' },
  'integrated-circuit': { name: 'integrated circuit', does: 'many small parts in one' },
  fuse: { name: 'fuse', does: 'cuts the current off when something fails' },
  switch: { name: 'switch', does: 'turns something on or off' },
  connector: { name: 'socket or plug', does: 'connects a lead' },
  loudspeaker: { name: 'loudspeaker', does: 'makes the sound' },
  lamp: { name: 'lamp', does: 'shows that the amplifier is on' },
  relay: { name: 'relay', does: 'switches by itself' },
  tank: { name: 'reverb tank', does: 'makes the reverberation with springs' },
  'test-point': { name: 'test point', does: 'a place to measure at' },
  thermistor: { name: 'thermistor', does: 'changes with temperature, often to soften the switching-on' },
  battery: { name: 'battery', does: 'supplies current' },
  'transformer-or-transistor': { name: 'part', does: '' },
  other: { name: 'part', does: '' },
};

export const customerWords = {
  title: 'Service report',
  yourAmplifier: 'Your amplifier',
  notAJob: 'This sheet describes no job, so there is nothing in it to report to a customer.',
  did: 'What we found and did',
  parts: 'Parts replaced or worked on',
  partsIntro:
    'The letter and number are the part’s name on our drawing. Figures are what each part is made for.',
  sameValues: 'new, same values',
  sameType: 'new, same type',
  part: 'Part',
  was: 'Before',
  is: 'Now',
  checks: 'How it was tested',
  measuredBoth: 'Measurements were taken inside the amplifier when it came in and again after the work.',
  measuredAfter: 'Measurements were taken inside the amplifier after the work.',
  measuredBefore: 'Measurements were taken inside the amplifier when it came in.',
  onLoad: 'It was measured running into a test load in place of the loudspeaker.',
  onSpeaker: 'It was measured running into a loudspeaker.',
  warm: (minutes: string) => `It had been running for ${minutes} when it was measured after the work.`,
  ripple: 'The hum on the power supply was measured before and after.',
  output: 'Its output was measured before and after.',
  earthBoth:
    'The connection from the earth pin of the mains plug to the metalwork was measured before and after.',
  earthAfter:
    'The connection from the earth pin of the mains plug to the metalwork was measured after the work.',
  measuredParts: 'Parts measured by themselves:',
  open: 'Not done at this visit',
  planned: 'Planned, not done yet:',
  leftAlone: 'Seen and left as they are:',
  declined: 'Offered and declined:',
  nextTime: 'For next time:',
  advice: 'For you to know',
  advices: [
    'Do not open the amplifier. Inside it stand voltages that can kill, and some of them remain long after it is switched off and the plug is out.',
    'Connect the loudspeaker that it is made for before you switch on, and never pull its lead while the amplifier is playing.',
    'Use it on a mains socket with an earth, and never disconnect the earth, not even to cure a hum.',
    'If a fuse blows, fit one new fuse of the same rating and kind. If that one blows too, have the amplifier looked at.',
    'If you see smoke or a valve’s metal glowing red, smell burning, or hear a loud hum that was not there: switch off and pull the plug.',
    'Valves and the metal near them become hot enough to burn. Leave air around the amplifier.',
    'It is loud enough to harm hearing. Protect your ears and those of others.',
  ],
  certifies:
    'This report tells what was measured and done. It is no certificate; what the law asks where you live, and who may do such work, is decided by local codes and licensed practice.',
} as const;

/** Cautions for whoever opens the chassis. What applies to the job at hand comes first, with the reason. */
export const cautionWords = {
  ht: 'The high tension of these amplifiers can kill: hundreds of volts with joules behind them. After switching off it stays until it has been bled and that has been measured.',
  discharge:
    'Mains off, plug out, wait; then discharge each electrolytic through a resistor of about 1 kΩ to 10 kΩ and 5 W to 10 W on an insulated lead, never by a short. Verify on every electrolytic with a rated meter: under 30 V, better under 10 V. Prove the meter on a known live source before and after.',
  recovery:
    'Standby off, a bias supply or half of a bank may stay charged on its own: check every can. Capacitors recover charge by themselves, so leave a clip-on bleed in place. 60 V DC is where standards stop calling it hazardous-live in the dry; that is no target for service.',
  power:
    'First power after a repair: through a series lamp or a variable transformer, watching the current. Check the bias before full high tension, watch for glowing anodes, and switch off on smoke.',
  load: 'Keep the rated load connected and never run the output transformer with an open secondary. The sound can pass 115 dB: protect your ears.',
  fuse: 'Fuses: same rating, same characteristic, same breaking capacity. Never bridge one.',
  mains:
    'On the mains side only approved class X and Y capacitors, a strain relief, and the earth bonded by its own screw with a lock washer. Measure earth continuity and insulation afterwards.',
  earth:
    'Keep the protective earth and never lift it to cure hum. Chassis that are live to the mains are worked on only behind an isolation transformer.',
  body: 'One hand only, insulated probes rated for at least 600 V CAT II or III, no jewellery, a dry floor, a second person within call, a residual-current device on the bench supply. Such a device does not protect on the isolated high-tension side.',
  old: 'Old parts can hold PCB oil, asbestos paper, selenium, lead; glass runs hot. Ventilate, and dispose of them as local rules say.',
  readings:
    'Results are only as good as the readings. That no warning is shown never means that there is nothing to fear.',
  law: 'Work on mains wiring and earthing, and giving an amplifier back or selling it, follow local codes and licensed practice, which always decide. This page advises and computes; it certifies nothing, and a competent person decides.',
} as const;
export type CautionId = keyof typeof cautionWords;

export const cautionReasons = {
  volts: (point: string, volts: string) => `${point} was read at ${volts}.`,
  rails: 'It has valves, so it has high tension, though none was read.',
  electrolytics: (refs: string) => `Stands on ${refs}.`,
  changed: 'Parts were changed.',
  output: (refs: string) => `${refs}.`,
  fuses: (refs: string) => `${refs}.`,
  mains: (refs: string) => `Work on ${refs}.`,
  earthRead: (value: string) => `Earth to chassis was read at ${value}.`,
  earthUnread: 'No earth continuity is written on this sheet.',
  old: (refs: string) => `${refs}.`,
  and: (count: number) => `and ${count} more`,
} as const;
