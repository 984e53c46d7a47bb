/** Owns how return visits are told: for each amplifier what was read then and now at equal mains, valve by valve, and what was changed. */
import { joinValues } from '../bench/saying.ts';
import type {
  AmplifierHistory,
  Banded,
  Drift,
  HistoryList,
  ReadingDrift,
  ReturnStep,
  ValveDrift,
  VisitFacts,
} from '../shop/history.ts';
import { isWide, MOVED, VALVE_FIGURES } from '../shop/history.ts';
import { nameOfVisit } from '../shop/visits.ts';
import {
  type Block,
  type Item,
  listOf,
  paragraph,
  type Row,
  type Section,
  type SummaryDocument,
  sectionOf,
  strong,
  type Table,
} from './document.ts';
import { inSheet } from './places.ts';
import type { Speech } from './speech.ts';

/** So much a grid may have come up from nothing before it is marked [V]: a meter's zero, and what its own valve makes. */
const FROM_NOTHING = 0.1;
/** A meter's four digits. */
const READ_DIGITS = 4;

export function historyDocument({ jobs, unnamed, amplifiers }: HistoryList, speech: Speech): SummaryDocument {
  const { words } = speech;
  const { history: w } = words.documents;
  return {
    language: words.language,
    reader: 'bench',
    title: w.title,
    kind: w.kind,
    facts: [
      [w.jobs, w.unnamed(jobs, unnamed)],
      [w.cameAgain, w.amplifiers(amplifiers.length)],
    ],
    opening: [paragraph(amplifiers.length === 0 ? w.none : w.note, 'small')],
    sections: amplifiers.flatMap((each) => amplifierSections(each, speech)),
  };
}

function amplifierSections(history: AmplifierHistory, speech: Speech): readonly Section[] {
  const { visits, steps } = history;
  return [
    ...sectionOf(titleOf(history, speech), [
      listOf(visits.map((each) => visitItem(each, speech))),
      ...trendBlocks(visits, speech),
    ]),
    ...steps.flatMap((step) => sectionOf(stepTitle(step, speech), stepBlocks(step, speech))),
  ];
}

function titleOf({ model, serial }: AmplifierHistory, { words }: Speech): string {
  const { history: w } = words.documents;
  const named = [model, serial === undefined ? undefined : w.serial(serial)].filter(
    (each) => each !== undefined,
  );
  return named.length === 0 ? w.nameless : named.join(', ');
}

function visitItem({ visit, moments, changed }: VisitFacts, speech: Speech): Item {
  const { words, terms, shop } = speech;
  const { history: w } = words.documents;
  const { received, returned } = visit;
  const dates =
    received !== undefined && returned !== undefined
      ? w.dates(received, returned)
      : (received ?? returned ?? '');
  const read = moments
    .filter(({ readings }) => readings.length > 0)
    .map(({ phase, mains }) =>
      w.readAt(terms.phases[phase], mains === undefined ? w.mainsUnwritten : volts(mains, speech)),
    );
  return {
    text: [
      strong(nameOfVisit(visit, shop)),
      `${dates === '' ? '' : `, ${dates}`}${visit.chassis === undefined ? '' : `, ${visit.chassis}`} `,
      inSheet(visit.file),
      `: ${read.length === 0 ? w.nothingRead : read.join(', ')}${
        changed.length === 0 ? '' : `; ${changed.map(({ says }) => says).join(', ')}`
      }`,
    ],
  };
}

/** Of three visits and more: each valve's cathode current as it was read, from the first to the last. */
function trendBlocks(visits: readonly VisitFacts[], speech: Speech): readonly Block[] {
  const { words, terms, shop } = speech;
  const { history: w } = words.documents;
  if (visits.length < 3) return [];
  const columns = visits.flatMap(({ visit, moments }) =>
    moments
      .filter(({ valves }) => valves.length > 0)
      .map((moment) => ({ head: w.moment(nameOfVisit(visit, shop), terms.phases[moment.phase]), moment })),
  );
  const refs = [...new Set(columns.flatMap(({ moment }) => moment.valves.map(({ ref }) => ref)))];
  const rows = refs.flatMap((ref): readonly Row[] => {
    const cells = columns.map(
      ({ moment }) => moment.valves.find((valve) => valve.ref === ref)?.figures.current,
    );
    if (cells.filter((cell) => cell !== undefined).length < 3) return [];
    return [
      { cells: [ref, ...cells.map((cell) => (cell === undefined ? words.none : sayComputed(cell, speech)))] },
    ];
  });
  if (rows.length === 0) return [];
  return [
    {
      kind: 'table',
      caption: w.trend,
      columns: [{ head: w.valve }, ...columns.map(({ head }) => ({ head, role: 'number' as const }))],
      rows,
      hasRowHeads: true,
    },
  ];
}

function stepTitle({ from, to, months }: ReturnStep, { words, shop }: Speech): string {
  const { history: w } = words.documents;
  const later = months === undefined ? '' : months < 1 ? `, ${w.withinMonth}` : `, ${w.monthsLater(months)}`;
  return `${w.fromTo(capital(nameOfVisit(from, shop)), nameOfVisit(to, shop))}${later}`;
}

function stepBlocks(step: ReturnStep, speech: Speech): readonly Block[] {
  const { words, shop } = speech;
  const { history: w } = words.documents;
  const { valves, readings, parts, changed, otherwise, from, before } = step;
  // An anode's volts stand with its valve.
  const anodes = new Set(
    valves.flatMap(({ ref, figures }) => (figures.anode === undefined ? [] : `${ref}.a`)),
  );
  const others = readings.filter(({ at, isDirect }) => !isDirect || !anodes.has(at));
  const nothing = valves.length + readings.length + parts.length === 0;
  return [
    paragraph(
      nothing
        ? `${w.nothingBoth} ${sayMoments(step, speech)}`
        : `${sayMoments(step, speech)} ${sayMains(step, speech)}`,
    ),
    ...(valves.length === 0 ? [] : [valveTable(step, speech)]),
    ...(others.length === 0 ? [] : [readingTable(w.readings, others, step, speech)]),
    ...(parts.length === 0 ? [] : [readingTable(w.onParts, parts, step, speech)]),
    paragraph(
      changed.length === 0
        ? w.noneChanged(nameOfVisit(from, shop))
        : (before?.phase === 'as-left' ? w.changed : w.changedBetween)(
            nameOfVisit(from, shop),
            changed.map(({ says }) => says).join('; '),
          ),
    ),
    ...(otherwise.length === 0
      ? []
      : [
          paragraph(
            w.otherwise(
              otherwise.map(({ ref, left, found }) => `${ref} ${left}\u00a0→\u00a0${found}`).join('; '),
            ),
          ),
        ]),
  ];
}

function sayMoments({ before, now, from, to }: ReturnStep, { words, terms, shop }: Speech): string {
  const { history: w } = words.documents;
  const say = (of: ReturnStep['before'], name: string) =>
    of === undefined ? w.nothingReadIn(name) : w.moment(name, terms.phases[of.phase]);
  return w.moments(capital(say(before, nameOfVisit(from, shop))), say(now, nameOfVisit(to, shop)));
}

function sayMains({ mains, before, now }: ReturnStep, speech: Speech): string {
  const { history: w } = speech.words.documents;
  const [then, today] = [before?.mains, now?.mains];
  if (mains === 'not-written' || then === undefined || today === undefined) {
    if (then !== undefined) return w.mainsMissing.now;
    return today === undefined ? w.mainsMissing.both : w.mainsMissing.before;
  }
  const [one, other] = [volts(then, speech), volts(today, speech)];
  return mains === 'equal' ? w.mainsEqual(one, other) : w.mainsBrought(one, other);
}

function valveTable(step: ReturnStep, speech: Speech): Table {
  const { history: w } = speech.words.documents;
  const rows = step.valves.flatMap((valve) =>
    VALVE_FIGURES.flatMap((name): readonly Row[] => {
      const drift = valve.figures[name];
      return drift === undefined
        ? []
        : [
            {
              cells: [
                sayValve(valve),
                valve.through === undefined ? w.figures[name] : w.throughShared(valve.through),
                ...driftCells(drift, step, speech, name !== 'anode'),
              ],
            },
          ];
    }),
  );
  return table(w.valves, w.valve, rows, step, speech);
}

function readingTable(
  caption: string,
  drifts: readonly ReadingDrift[],
  step: ReturnStep,
  speech: Speech,
): Table {
  return table(
    caption,
    speech.words.documents.history.point,
    drifts.map((drift): Row => ({ cells: [drift.at, drift.what, ...driftCells(drift, step, speech)] })),
    step,
    speech,
  );
}

function table(
  caption: string,
  first: string,
  rows: readonly Row[],
  { mains, before }: ReturnStep,
  speech: Speech,
): Table {
  const { history: w } = speech.words.documents;
  return {
    kind: 'table',
    caption,
    columns: [
      { head: first },
      { head: w.what },
      { head: w.past, role: 'number' },
      { head: w.now, role: 'number' },
      ...(mains === 'brought'
        ? [{ head: w.nowAt(volts(before?.mains ?? 0, speech)), role: 'number' as const }]
        : []),
      { head: w.moved, role: 'number' },
    ],
    rows,
    hasRowHeads: true,
  };
}

function sayValve({ ref, type, was }: ValveDrift): string {
  return [ref, was === undefined ? type : `${was}\u00a0→\u00a0${type ?? ''}`]
    .filter((each) => each !== undefined)
    .join(' ');
}

function driftCells(
  drift: Drift,
  { mains }: ReturnStep,
  speech: Speech,
  isComputed = false,
): readonly string[] {
  const { numbers, words } = speech;
  const { none, documents } = words;
  const { before, now, brought, isWithinBand } = drift;
  const write = (number: Banded) =>
    isComputed ? sayComputed(number, speech) : numbers.say(number, READ_DIGITS);
  const { said, isMarked } = moveOf(drift, numbers) ?? { said: none, isMarked: false };
  return [
    write(before),
    write(now),
    ...(mains === 'brought' ? [brought === undefined ? none : write(brought)] : []),
    isWithinBand === true ? documents.history.withinBand : `${said}${isMarked ? '\u00a0!' : ''}`,
  ];
}

/** As a share of what it was; what came from next to nothing, or went to it, as the difference. */
function moveOf(
  { before, now, brought, share }: Drift,
  numbers: Speech['numbers'],
): { readonly said: string; readonly isMarked: boolean } | undefined {
  if (share !== undefined) return { said: numbers.deviation(share), isMarked: Math.abs(share) > MOVED };
  const { unit } = before;
  const value = (brought ?? now).value - before.value;
  if (value === 0) return undefined;
  const isMarked = unit !== 'V' || Math.abs(value) > FROM_NOTHING;
  return { said: numbers.signed({ value, unit }, READ_DIGITS), isMarked };
}

/** A figure, or the band it may lie in where that is wider than what counts as moved. */
function sayComputed(number: Banded, { numbers, words }: Pick<Speech, 'numbers' | 'words'>): string {
  const { unit, low = number.value, high = number.value } = number;
  if (!isWide(number)) return numbers.figure(number);
  const [one, other] = [low, high].map((value) => numbers.figure({ value, unit }));
  return joinValues(one ?? '', ` ${words.to} `, other ?? '');
}

function volts(value: number, { numbers }: Speech): string {
  return numbers.say({ value, unit: 'V' }, READ_DIGITS);
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
