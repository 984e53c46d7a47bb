/**
 * Owns every fixed word of the summaries in English. Another language is another table of the same shape. Nothing here
 * depends on a sheet; numbers and the author's words are put in by those who ask.
 */
import { englishBenchWords } from '../bench/bench-words.ts';
import type { Role } from '../bench/model.ts';
import type { RatingSystem } from '../catalogue/valve.ts';
import type { PartClass, ReadingQuantity } from '../dialect/tree.ts';
import type { Severity } from '../rules/rule.ts';
import type { Phase, SheetKind } from '../sheet/model.ts';
import { englishShopWords } from '../shop/shop-words.ts';

import { englishCustomer } from './english/customer.ts';
import { englishDocuments } from './english/documents.ts';
import type { PlainPart } from './plain-part.ts';
import { englishPlotWords } from './plot/plot-words.ts';

export const english = {
  language: 'en-GB',
  lines: (first: number, last: number) =>
    first === last ? `line\u00a0${first}` : `lines\u00a0${first}–${last}`,
  none: '–',
  tableInText: 'Table in the text',
  about: 'about',
  to: 'to',
  and: 'and',
  notRead: 'not read',
  plot: englishPlotWords,
  terms: englishBenchWords,
  shop: englishShopWords,
  documents: englishDocuments,

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
    title: 'summary for the bench',
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
    notes: 'Notes of the sheet',
    fitted: 'Parts fitted',
    role: 'Role',
    partIs: 'Value and rating',
    putTo: 'Put to',
    changes: 'Parts changed',
    effectSignal: 'AC',
    effectHeld: 'Held:',
    effectsHeld: 'What each change does is computed, not read: one change at a time, before → after, with',
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
    otherConditions: 'Under other conditions',
    measurements: 'Measured on parts and connections',
    duringWork: 'During the work',
    point: 'Point',
    quantity: 'What',
    difference: 'Difference',
    mains: (volts: string) => `mains ${volts}`,
    mainsUnwritten: 'mains not written',
    mainsMoved: (share: string) => `The mains itself moved by ${share} between the two columns.`,
    equalMainsNote:
      '“At equal mains” reckons the later reading back to the earlier mains in proportion, which is near enough for a supply and what hangs on it.',
    earlier: 'earlier',
    more: (n: number) => `and ${n} more`,
    nominal: 'Nominal',
    againstNominal: (phase: string, share: string) => `${phase.toLowerCase()} ${share}`,
    nominalMainsUnknown: 'the mains of one is not written',
    atEqualMains: (share: string) => `${share} at equal mains`,
    otherPoints: 'Supply and other points',
    valves: 'Valve dissipation',
    valveVolts: 'Valve voltages',
    valveVoltsNote: 'From the cathode, where its volts were read or it stands at ground.',
    toGround: 'to ground: no cathode volts were read',
    mods: 'Standing modifications',
    mod: 'Modification',
    verdict: 'Verdict of the sheet',
    earlierJob: 'Against the earlier job',
    earlierLeft: (job: string) => `Left on ${job}`,
    earlierNone: (job: string) => `No reading of today has its like as left on ${job}.`,
    earlierNote:
      'The last two columns compare the latest of today with what was left then, as read and reckoned to equal mains in proportion.',
    findingsLanguage: '',
    valve: 'Valve',
    limit: 'Limit',
    noLimit: 'no limit known',
    valvesNote:
      'Ratings are those of the system named beside them; a design-centre limit is held against running at the nominal mains.',
    barsNote: 'Bars run from nothing; the upright line is the limit, and what lies beyond it is striped.',
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
    orderIs: 'To fit',
    leftAlone: 'Seen and left alone',
    declined: 'Declined',
    nextTime: 'Next time',
    owner: 'Told to the owner',
    ownerMissing:
      'The sheet has no Owner section. The summary for the customer will list parts and checks, but tell nothing in words.',
    pictures: 'Pictures',
    pictureAsBefore: 'All else is as noted above.',
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

  /** As over many sheets, where a table's head does not say already that volts are meant or how arms are told. */
  quantities: {
    ...englishShopWords.history.quantities,
    voltage: 'DC volts',
    'ac-voltage': 'AC volts',
    arms: 'arms, clockwise first',
    halves: 'halves, in order',
  } satisfies Record<ReadingQuantity, string>,
  waves: { rms: 'rms', pp: 'peak to peak', peak: 'peak', ac: 'AC' },
  between: (at: string, to: string) => `${at} to ${to}`,
  at: 'at',
  open: 'open',
  short: 'short',

  systems: {
    'design-centre': 'design-centre',
    'design-maximum': 'design-maximum',
    'absolute-maximum': 'absolute-maximum',
  } satisfies Record<RatingSystem, string>,
  dataSheet: (type: string, system: string) => `${type}, ${system}`,

  works: {
    removed: 'taken out',
    same: 'left as it was',
    resoldered: 'resoldered',
    raised: 'raised off the board',
    moved: 'moved',
  },
  notFitted: 'not fitted',
  notWritten: 'not written',

  /** What a role is called on a page: as the bench says it, but in full where the bench is short. */
  roles: {
    ...englishBenchWords.roles,
    tail: 'tail resistor',
    bright: 'bright network',
    tone: 'tone network',
    'feedback-shelf': 'shelf of the feedback loop',
    cathodyne: 'cathodyne phase splitter',
    'long-tail-pair': 'long-tail phase splitter',
    paraphase: 'paraphase phase splitter',
    'grid-return': 'holds a grid still for signals',
  } satisfies Record<Role, string>,

  /** A part in plain words for its owner, by role, where the sheet's connections tell it. */
  plainRoles: {
    reservoir: {
      name: 'main smoothing capacitor',
      does: 'holds the power supply steady and takes most of the hum out of it',
    },
    smoothing: {
      name: 'smoothing capacitor',
      does: 'takes the rest of the hum out of the supply to a stage',
    },
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
    'grid-stopper': {
      name: 'stopper resistor',
      does: 'keeps a valve from picking up or making radio signals',
    },
    'screen-resistor': { name: 'screen resistor', does: 'protects an output valve’s inner grid' },
    dropper: { name: 'supply resistor', does: 'brings the supply down to what a stage needs' },
    bleeder: { name: 'bleed resistor', does: 'empties the power supply after the amplifier is switched off' },
    tail: { name: 'tail resistor', does: 'keeps the two halves of a stage in step' },
    feedback: { name: 'feedback resistor', does: 'returns a little of the output to steady the sound' },
    choke: { name: 'choke', does: 'smooths the power supply' },
    'output-transformer': {
      name: 'output transformer',
      does: 'couples the output valves to the loudspeaker',
    },
    'mains-transformer': { name: 'mains transformer', does: 'makes the amplifier’s supplies from the mains' },
    rectifier: { name: 'rectifier', does: 'turns alternating into direct current for the supply' },
  } satisfies Partial<Record<Role, PlainPart>>,
  rectifierValve: 'rectifier valve',
  outputValve: { name: 'output valve', does: 'drives the loudspeaker' } satisfies PlainPart,
  smallValve: { name: 'valve', does: 'amplifies the signal' } satisfies PlainPart,

  /** By class, where nothing tells the role. */
  plainClasses: {
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
  } satisfies Record<PartClass, PlainPart>,

  customer: englishCustomer,

  /** Cautions for whoever opens the chassis. What applies to the job at hand comes first, with the reason. */
  cautions: {
    ht: 'The high tension of these amplifiers can kill: 400 V to 600 V DC with tens of joules behind them. After switching off it stays until it has been bled and that has been measured.',
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
      'Results are only as good as the readings. That no warning is shown never means that there is nothing to fear. No number here is a guarantee: each rating comes with its system and its source.',
    law: 'Work on mains wiring and earthing, and giving an amplifier back or selling it, follow local codes and licensed practice, which always decide. This page advises and computes; it certifies nothing, and a competent person decides.',
  },

  cautionReasons: {
    volts: (point: string, volts: string) => `${point} was read at ${volts}.`,
    drawn: (point: string, volts: string) => `By the chassis sheet ${point} stands at ${volts}.`,
    rails: 'It has valves, so it has high tension, though none was read.',
    electrolytics: (refs: string) => `Stands on ${refs}.`,
    standby: (refs: string) => `Here: ${refs}.`,
    changed: 'Parts were changed.',
    output: (refs: string) => `${refs}.`,
    fuses: (refs: string) => `${refs}.`,
    mains: (refs: string) => `Work on ${refs}.`,
    earthRead: (value: string) => `Earth to chassis was read at ${value}.`,
    earthUnread: 'No earth continuity is written on this sheet.',
    old: (refs: string) => `${refs}.`,
    and: (count: number) => `and ${count} more`,
  },

  label: {
    title: 'Chassis label',
    job: 'Job',
    date: 'Finished',
    mains: 'Mains at check-out',
    bias: 'Bias at check-out',
    biasNotRead: 'Bias at check-out: not read.',
    cathode: (volts: string) => `cathode ${volts}`,
    grid: (volts: string) => `grid ${volts}`,
    current: (amperes: string) => `${amperes} through the cathode`,
    computed: 'Volts as read; currents and watts computed from them.',
    watts: (watts: string, share: string | undefined, limit: string | undefined) =>
      share === undefined || limit === undefined ? `anode ${watts}` : `anode ${watts}, ${share} of ${limit}`,
    parts: 'Parts that are not as drawn',
    partsChanged: 'Parts changed on this job',
    partsNone: 'No departure from the chassis sheet is written.',
    partsUnknown: 'Which parts are original is not known: no chassis sheet was given.',
    changesNone: 'No change of a part is written.',
    instead: (drawn: string) => `in place of ${drawn}`,
    fitted: (date: string) => `fitted ${date}`,
    found: (date: string) => `found ${date}`,
    undated: 'no date written',
    caution:
      'Voltages inside can kill, also with the plug out. Discharge, then measure. Fuse: same rating, same characteristic. Local codes and licensed practice decide.',
  },
};
