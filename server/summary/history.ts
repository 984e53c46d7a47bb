/** Owns how return visits are told: for each amplifier what was read then and now at equal mains, valve by valve, and what was changed. */
import { PHASE_WORDS } from '../bench/saying.ts';
import type {
  AmplifierHistory,
  Drift,
  HistoryList,
  ReadingDrift,
  ReturnStep,
  ValveDrift,
  ValveFigure,
  VisitFacts,
} from '../shop/history.ts';
import { VALVE_FIGURES } from '../shop/history.ts';
import { nameOfVisit } from '../shop/visits.ts';
import { writePercent, writeQuantity } from '../units/write.ts';
import {
  aside,
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

const NOTE =
  'Direct volts go with the mains, so those of now are brought to the mains of then: V now × mains then / mains now. Where a cathode resistor sets the bias, cathode current is brought in proportion and dissipation by the square; with fixed bias both stay as they were read. A mark (!) stands where more than 5 % has moved; less is what a meter and a mains make by themselves.';

/** From this share on a number has moved by more than meter and mains explain: common practice, no source. */
const MOVED = 0.05;

export function historyDocument({ jobs, unnamed, amplifiers }: HistoryList): SummaryDocument {
  return {
    language: 'en',
    reader: 'bench',
    title: 'Return visits',
    kind: 'History',
    facts: [
      ['Jobs', `${jobs}${unnamed === 0 ? '' : `, ${unnamed} of them without a serial`}`],
      ['Came again', `${amplifiers.length} ${amplifiers.length === 1 ? 'amplifier' : 'amplifiers'}`],
    ],
    opening: [
      paragraph(
        amplifiers.length === 0
          ? 'No amplifier came more than once. Visits are put together by model and serial, and by the job that one returns.'
          : NOTE,
        'small',
      ),
    ],
    sections: amplifiers.flatMap(amplifierSections),
  };
}

function amplifierSections(history: AmplifierHistory): readonly Section[] {
  const { visits, steps } = history;
  return [
    ...sectionOf(titleOf(history), [listOf(visits.map(visitItem)), ...trendBlocks(visits)]),
    ...steps.flatMap((step) => sectionOf(stepTitle(step), stepBlocks(step))),
  ];
}

function titleOf({ model, serial }: AmplifierHistory): string {
  const named = [model, serial === undefined ? undefined : `serial ${serial}`].filter(
    (each) => each !== undefined,
  );
  return named.length === 0 ? 'An amplifier without a serial' : named.join(', ');
}

function visitItem({ visit, moments, changed }: VisitFacts): Item {
  const dates = [visit.received, visit.returned].filter((date) => date !== undefined).join(' to ');
  const read = moments
    .filter(({ readings }) => readings.length > 0)
    .map(
      ({ phase, mains }) =>
        `${PHASE_WORDS[phase]} at ${mains === undefined ? 'a mains that is not written' : volts(mains)}`,
    );
  return {
    text: [
      strong(nameOfVisit(visit)),
      `${dates === '' ? '' : `, ${dates}`}${visit.chassis === undefined ? '' : `, ${visit.chassis}`} `,
      aside('place', visit.file),
      `: ${read.length === 0 ? 'nothing was read in normal running' : read.join(', ')}${
        changed.length === 0 ? '' : `; ${changed.map(({ says }) => says).join(', ')}`
      }`,
    ],
  };
}

/** Of three visits and more: each valve's cathode current as it was read, from the first to the last. */
function trendBlocks(visits: readonly VisitFacts[]): readonly Block[] {
  if (visits.length < 3) return [];
  const columns = visits.flatMap(({ visit, moments }) =>
    moments
      .filter(({ valves }) => valves.length > 0)
      .map((moment) => ({ head: `${nameOfVisit(visit)} ${PHASE_WORDS[moment.phase]}`, moment })),
  );
  const refs = [...new Set(columns.flatMap(({ moment }) => moment.valves.map(({ ref }) => ref)))];
  const rows = refs.flatMap((ref): readonly Row[] => {
    const cells = columns.map(
      ({ moment }) => moment.valves.find((valve) => valve.ref === ref)?.figures.current,
    );
    if (cells.filter((cell) => cell !== undefined).length < 3) return [];
    return [{ cells: [ref, ...cells.map((cell) => (cell === undefined ? '' : writeQuantity(cell)))] }];
  });
  if (rows.length === 0) return [];
  return [
    {
      kind: 'table',
      caption: 'Cathode current as it was read, the mains as they were:',
      columns: [{ head: 'Valve' }, ...columns.map(({ head }) => ({ head, role: 'number' as const }))],
      rows,
      hasRowHeads: true,
    },
  ];
}

function stepTitle({ from, to, months }: ReturnStep): string {
  const later =
    months === undefined
      ? ''
      : months < 1
        ? ', within a month'
        : `, ${months} ${months === 1 ? 'month' : 'months'} later`;
  return `${capital(nameOfVisit(from))} to ${nameOfVisit(to)}${later}`;
}

function stepBlocks(step: ReturnStep): readonly Block[] {
  const { valves, readings, parts, changed, otherwise, from } = step;
  // An anode's volts stand with its valve.
  const anodes = new Set(
    valves.flatMap(({ ref, figures }) => (figures.anode === undefined ? [] : `${ref}.a`)),
  );
  const others = readings.filter(({ at, what }) => what !== 'DC' || !anodes.has(at));
  const nothing = valves.length + readings.length + parts.length === 0;
  return [
    paragraph(
      nothing ? `Nothing was read both times. ${sayMoments(step)}` : `${sayMoments(step)} ${sayMains(step)}`,
    ),
    ...(valves.length === 0 ? [] : [valveTable(step)]),
    ...(others.length === 0 ? [] : [readingTable('Readings', others, step)]),
    ...(parts.length === 0 ? [] : [readingTable('Measured on parts', parts, step)]),
    paragraph(
      changed.length === 0
        ? `No part was changed in ${nameOfVisit(from)}.`
        : `Changed in ${nameOfVisit(from)}, before these readings: ${changed.map(({ says }) => says).join('; ')}.`,
    ),
    ...(otherwise.length === 0
      ? []
      : [
          paragraph(
            `Found otherwise than it was left, so changed by somebody between or not written then: ${otherwise
              .map(({ ref, left, found }) => `${ref} ${left}\u00a0→ ${found}`)
              .join('; ')}.`,
          ),
        ]),
  ];
}

function sayMoments({ before, now, from, to }: ReturnStep): string {
  const say = (of: ReturnStep['before'], name: string) =>
    of === undefined ? `nothing was read in ${name}` : `${name} ${PHASE_WORDS[of.phase]}`;
  return `${capital(say(before, nameOfVisit(from)))} against ${say(now, nameOfVisit(to))}.`;
}

function sayMains({ mains, before, now }: ReturnStep): string {
  const [then, today] = [before?.mains, now?.mains];
  if (mains === 'not-written' || then === undefined || today === undefined) {
    const which = then === undefined ? (today === undefined ? 'either time' : 'then') : 'now';
    return `The mains is not written ${which}: compared as read, and a mains 5 % off moves every direct voltage by as much.`;
  }
  if (mains === 'equal')
    return `Mains ${volts(then)} then and ${volts(today)} now: as good as equal, compared as read.`;
  return `Mains ${volts(then)} then, ${volts(today)} now: direct volts of now are brought to ${volts(then)}.`;
}

const FIGURE_WORDS: Readonly<Record<ValveFigure, string>> = {
  current: 'cathode current',
  dissipation: 'anode dissipation',
  anode: 'anode volts',
};

function valveTable(step: ReturnStep): Table {
  const rows = step.valves.flatMap((valve) =>
    VALVE_FIGURES.flatMap((name): readonly Row[] => {
      const drift = valve.figures[name];
      return drift === undefined
        ? []
        : [{ cells: [sayValve(valve), FIGURE_WORDS[name], ...driftCells(drift, step)] }];
    }),
  );
  return table('Valves', 'Valve', rows, step);
}

function readingTable(caption: string, drifts: readonly ReadingDrift[], step: ReturnStep): Table {
  return table(
    caption,
    'Point',
    drifts.map((drift): Row => ({ cells: [drift.at, drift.what, ...driftCells(drift, step)] })),
    step,
  );
}

function table(caption: string, first: string, rows: readonly Row[], { mains, before }: ReturnStep): Table {
  return {
    kind: 'table',
    caption,
    columns: [
      { head: first },
      { head: 'What' },
      { head: 'Then', role: 'number' },
      { head: 'Now', role: 'number' },
      ...(mains === 'brought'
        ? [{ head: `Now at ${volts(before?.mains ?? 0)}`, role: 'number' as const }]
        : []),
      { head: 'Moved', role: 'number' },
    ],
    rows,
    hasRowHeads: true,
  };
}

function sayValve({ ref, type, was }: ValveDrift): string {
  return [ref, was === undefined ? type : `${was}\u00a0→ ${type ?? ''}`]
    .filter((each) => each !== undefined)
    .join(' ');
}

function driftCells({ before, now, brought, share }: Drift, { mains }: ReturnStep): readonly string[] {
  const moved = share === undefined ? '' : `${signed(share)}${Math.abs(share) > MOVED ? ' !' : ''}`;
  return [
    write(before),
    write(now),
    ...(mains === 'brought' ? [brought === undefined ? '' : write(brought)] : []),
    moved,
  ];
}

function write(quantity: Drift['before']): string {
  return writeQuantity(quantity, { digits: 4 }).replace(/^-/, '−');
}

/** In tenths of a per cent: no meter tells more. */
function signed(share: number): string {
  const rounded = Math.round(share * 1000) / 1000;
  if (rounded === 0) return '0\u00a0%';
  return `${rounded < 0 ? '−' : '+'}${writePercent(Math.abs(rounded))}`;
}

function volts(value: number): string {
  return writeQuantity({ value, unit: 'V' }, { digits: 4 });
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
