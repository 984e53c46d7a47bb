/** Owns in English the fixed words of documents over many sheets: comparison, mods, repeats, orders and history. */
import type { Severity } from '../../rules/rule.ts';
import type { Dimension } from '../../shop/exposure.ts';
import type { ValveFigure } from '../../shop/history.ts';

const s = (n: number, one: string, more = `${one}s`) => (n === 1 ? one : more);

export const englishDocuments = {
  severities: { error: 'error', warning: 'warning', info: 'info', hint: 'hint' } satisfies Record<
    Severity,
    string
  > as Readonly<Record<Severity, string>>,
  against: (one: string, other: string) => `${one} against ${other}`,
  held: (all: string) => `Held: ${all}`,
  withSignal: (said: string) => `With signal: ${said}`,
  readWithThis: 'Read with this',
  /** Only a page in another language must say that what rules say is not. */
  rulesLanguage: '',

  compare: {
    kind: 'Comparison',
    first: 'First',
    second: 'Second',
    parts: 'Parts',
    responses: 'Responses, one difference at a time',
    together: 'All differences together',
    oneSide: 'Said of one side only, of parts that are the same',
    noteOfFirst: 'Note of the first: ',
    noteOfSecond: 'Note of the second: ',
  },

  mods: {
    kind: 'Mods',
    againstOne: (name: string) => `Mods against ${name}`,
    againstMany: (n: number) => `Mods against ${n} sheets`,
    sheet: 'Sheet',
    heldInAll: (held: string) => `Held in all: ${held}.`,
    modOn: (mod: string, sheet: string) => `${mod}, on ${sheet}`,
    overview: 'Which mod stands how',
    mod: 'Mod',
    verdict: 'Verdict',
    changes: 'Changes',
    bySheet: (verdict: string) => `${verdict}, by the sheet`,
    notTogether: (mods: string) => `not together with ${mods}`,
    needsFirst: (mods: string) => `needs ${mods} first`,
    purpose: (said: string) => `For: ${said}`,
    needs: (need: string) => `Needs ${need}`,
    needsToo: (said: string) => `Needs: ${said}`,
    conflicts: (said: string) => `Conflicts: ${said}`,
    beside: (said: string) => `Beside it: ${said}`,
    planned: (place: string) => `Planned already: ${place}`,
    together: (moves: string) => `All together, expected: ${moves}.`,
    levels: (refs: string, levels: string, held: string) =>
      `All together, with signal (${refs}): ${levels}. Held: ${held}.`,
    left: (changes: string) => `Not in what follows, for where it goes cannot be told: ${changes}.`,
    allDone: 'With all of them done',
    oneDone: 'With it done',
    nothingMore: (done: string) => `${done} no rule on ratings or bias says more than it says now.`,
    unsolved: (done: string) =>
      `${done} no rule says more than now, but the volts could not be solved: dissipations were not looked at.`,
    breaks: (done: string) => `${done} it would break:`,
  },

  repeats: {
    kind: 'Repeats',
    title: 'What keeps failing',
    heads: {
      part: 'By part of a chassis',
      place: 'By place in a model, whatever its number',
      role: 'By what the part does',
      kind: 'By kind',
      margin: 'By how hard it ran',
      age: 'By age',
      valve: 'By valve type',
    } satisfies Record<Dimension, string> as Readonly<Record<Dimension, string>>,
    unknown: {
      part: 'no chassis sheet and no model is written',
      place: 'its connections do not say what it does, or no model is written',
      role: 'its connections do not say what it does',
      kind: 'it is of no kind that wears out',
      margin: 'nothing was read that says how hard it ran',
      age: 'neither a date code nor the year of the amplifier is written',
      valve: '',
    } satisfies Record<Dimension, string> as Readonly<Record<Dimension, string>>,
    note: 'A part counts as failed if a reading, a finding or a state on the sheet shows it to be bad, or if it went out like for like and nothing says why. The share is of visits whose amplifier has such a part; amplifiers that never came in are in no count. What “fits” is Wilson’s 95 % interval: the shares in the long run under which such a count is no surprise. With so many groups looked at, one or two stand out by chance.',
    jobs: 'Jobs',
    failed: 'Failed',
    span: (from: string, to: string) => `${from} to ${to}`,
    failures: (parts: number, on: number, jobs: number) =>
      `${parts} ${s(parts, 'part')} on ${on} of ${jobs} ${s(jobs, 'job')}`,
    none: 'No job shows a part that failed.',
    again: 'Failed again in the same amplifier',
    notCounted: 'Replaced, and not counted',
    neverKnown: (why: string) => `Not known of any failure: ${why}.`,
    notKnown: (n: number, of: number, why: string) => `Not known of ${n} of ${of} failures: ${why}.`,
    once: (groups: string) => `Once only: ${groups}.`,
    oneOf: (group: string, exposed: number, visit: string) => `${group} (1 of ${exposed}, ${visit})`,
    onlyReplaced: 'Known only by having been replaced.',
    someReplaced: (n: number) => `${n} of these known only by having been replaced.`,
    now: (evidence: string, what: string) => `${evidence}; now ${what}`,
    ofSerial: (amplifier: string, serial: string) =>
      `of ${amplifier === '' ? '' : `${amplifier}, `}serial ${serial}`,
    later: (months: number) =>
      `${
        months < 1
          ? 'less than a month'
          : months < 24
            ? `${months} ${s(months, 'month')}`
            : `${Math.floor(months / 12)} years`
      } after it had gone back`,
    moreJobs: (n: number) => `and ${n} more ${s(n, 'job')}`,
    moreGroups: (n: number) => `and ${n} more ${s(n, 'group')}`,
    moreVisits: (n: number) => `and ${n} more ${s(n, 'visit')}`,
    more: (n: number) => `and ${n} more`,
    /** How far a count may be trusted. */
    count: (count: number, visits: number) => `${count} of ${visits} ${s(visits, 'visit')}`,
    range: (low: string, high: string) => `${low} to ${high}\u00a0%`,
    oneVisit: (said: string, range: string) =>
      `${said}: one visit proves next to nothing (anything from ${range} fits)`,
    fewVisits: (said: string, share: string, range: string) =>
      `${said} (${share}); with so few, anything from ${range} fits`,
    fits: (said: string, share: string, range: string) => `${said} (${share}); ${range} fits`,

    likeTitle: (visit: string) => `Earlier jobs like ${visit}`,
    looked: 'Looked through',
    otherJobs: (n: number) => `${n} other ${s(n, 'job')}`,
    chassis: 'Chassis',
    affected: 'Affected',
    complaintWords: 'Words of the complaint',
    nothingLike: 'No earlier job has anything telling in common with it.',
    likest:
      'Likest first. What few jobs have counts for more than what many have; how many have it stands in brackets.',
    further: 'Further',
    moreLike: (n: number) => `${n} more ${s(n, 'job')} with less in common.`,
    inCommon: 'In common',
    complaint: (words: string) => `the complaint: ${words}`,
    word: (word: string, n: number, of: number) => `“${word}” (${n} of ${of})`,
    foundThere: 'Found there',
    nothingFailed: 'no part that failed',
    changed: (refs: string) => `changed: ${refs}`,
    ownerTold: 'The owner was told',
    share: (n: number, of: number) => `(${n} of ${of})`,
    sameAmplifier: (serial: string) => `the very amplifier, serial ${serial}`,
    sameChassis: (name: string) => `the same chassis, ${name}`,
    otherRevision: (model: string) => `another revision of ${model}`,
    affectedBoth: (role: string) => `${role} affected in both`,
  },

  orders: {
    kind: 'Orders',
    title: 'Parts to order',
    openJobs: 'Open jobs',
    waiting: (open: number, waiting: number) => `${open}, ${waiting} of them waiting for something`,
    toBuy: 'To buy',
    pieces: (pieces: number, lines: number) =>
      `${pieces} ${s(pieces, 'piece')} on ${lines} ${s(lines, 'line')}`,
    nothing: 'Nothing is to be ordered.',
    note: 'A job is open until its sheet says when the amplifier went back. What it wants stands in its unticked tasks and under Wanted, Quote or Order.',
    substitutesNote:
      'Of a pair the first is told. What would serve is judged by value, rating and pins alone, and what it changes is computed from the sheets, all else as it stands there: look at body, lead spacing and temperature as well. A fuse is replaced by its own rating and speed and by nothing else; a capacitor on the mains side by its own class.',
    instead: 'What would serve instead',
    inWords: 'Wanted in words only',
    perJob: 'Which job waits for what',
    quantity: 'Quantity',
    part: 'Part',
    for: 'For',
    what: (what: string, of: string) => `${what} ${of}`,
    otherNames: (names: string) => `known by other names too: ${names}`,
    servedBy: (parts: string) => `on this list already, and rated higher: ${parts}`,
    forPart: 'for',
    at: (place: string, said: string) => `at ${place}, ${said}`,
    inPlaceOf: (what: string, was: string) => `${what} for ${was}`,
    since: (date: string) => `in since ${date}`,
    limit: (limit: string) => `limit ${limit}`,
  },

  history: {
    kind: 'History',
    title: 'Return visits',
    note: 'Direct volts go with the mains, so those of now are brought to the mains of then: V now × mains then / mains now. Where a cathode resistor sets the bias, cathode current is brought in proportion and dissipation by the square; with fixed bias both stay as they were read. A mark (!) stands where more than 5 % has moved; less is what a meter and a mains make by themselves. “Within its band”: the readings leave so wide a band that both may be one number.',
    jobs: 'Jobs',
    unnamed: (jobs: number, unnamed: number) =>
      `${jobs}${unnamed === 0 ? '' : `, ${unnamed} of them without a serial`}`,
    cameAgain: 'Came again',
    amplifiers: (n: number) => `${n} ${s(n, 'amplifier')}`,
    none: 'No amplifier came more than once. Visits are put together by model and serial, and by the job that one returns.',
    serial: (serial: string) => `serial ${serial}`,
    nameless: 'An amplifier without a serial',
    dates: (from: string, to: string) => `${from} to ${to}`,
    readAt: (phase: string, mains: string) => `${phase} at ${mains}`,
    mainsUnwritten: 'a mains that is not written',
    nothingRead: 'nothing was read in normal running',
    trend: 'Cathode current as it was read, the mains as they were:',
    valve: 'Valve',
    fromTo: (one: string, other: string) => `${one} to ${other}`,
    withinMonth: 'within a month',
    monthsLater: (n: number) => `${n} ${s(n, 'month')} later`,
    nothingBoth: 'Nothing was read both times.',
    readings: 'Readings',
    onParts: 'Measured on parts',
    noneChanged: (visit: string) => `No part was changed in ${visit}.`,
    changed: (visit: string, changes: string) => `Changed in ${visit}, before these readings: ${changes}.`,
    changedBetween: (visit: string, changes: string) =>
      `Changed in ${visit}, between these readings, so what moved may come of it: ${changes}.`,
    otherwise: (parts: string) =>
      `Found otherwise than it was left, so changed by somebody between or not written then: ${parts}.`,
    nothingReadIn: (visit: string) => `nothing was read in ${visit}`,
    moment: (visit: string, phase: string) => `${visit} ${phase}`,
    moments: (one: string, other: string) => `${one} against ${other}.`,
    mainsMissing: {
      both: 'The mains is not written either time: compared as read, and a mains 5 % off moves every direct voltage by as much.',
      before:
        'The mains is not written then: compared as read, and a mains 5 % off moves every direct voltage by as much.',
      now: 'The mains is not written now: compared as read, and a mains 5 % off moves every direct voltage by as much.',
    },
    mainsEqual: (before: string, now: string) =>
      `Mains ${before} then and ${now} now: as good as equal, compared as read.`,
    mainsBrought: (before: string, now: string) =>
      `Mains ${before} then, ${now} now: direct volts of now are brought to ${before}.`,
    figures: {
      current: 'cathode current',
      dissipation: 'anode dissipation',
      anode: 'anode volts',
    } satisfies Record<ValveFigure, string> as Readonly<Record<ValveFigure, string>>,
    throughShared: (resistor: string) => `cathode current together, through ${resistor}`,
    withinBand: 'within its band',
    valves: 'Valves',
    point: 'Point',
    what: 'What',
    past: 'Then',
    now: 'Now',
    nowAt: (volts: string) => `Now at ${volts}`,
    moved: 'Moved',
  },
};

export type DocumentWords = typeof englishDocuments;
