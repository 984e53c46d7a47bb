/**
 * Owns the slip that stays in the chassis: what whoever opens it next must know before anything else. What was not read or
 * not written is said to be so; nothing is filled in.
 */

import { findBiasMethod } from '../bench/bias.ts';
import type { BenchReading, PhaseView } from '../bench/model.ts';
import { findVolts } from '../rules/voltages.ts';
import { outputValves } from './before-after.ts';
import { type ChangeRow, changeRows, departureRows, isLeft } from './changes.ts';
import {
  type Block,
  type Item,
  listOf,
  paragraph,
  type SummaryDocument,
  strong,
  type Text,
} from './document.ts';
import { describePart } from './part-words.ts';
import { findRead, readingText } from './readings.ts';
import { findFigure } from './stress.ts';
import type { Telling } from './telling.ts';

export function labelDocument(telling: Telling): SummaryDocument {
  const { words, sheet, analysis } = telling;
  const { label: w } = words;
  const field = (key: string) => sheet.field(key)?.text ?? '';
  const model = [
    analysis.chassis?.field('model')?.text ?? field('model'),
    analysis.chassis?.field('revision')?.text,
  ];
  const facts: SummaryDocument['facts'] = [
    [words.fields.serial, field('serial')],
    [w.job, field('job')],
    [w.date, field('returned')],
    [w.mains, mainsText(telling)],
  ];
  return {
    language: words.language,
    reader: 'label',
    title:
      model.filter((each) => each !== undefined && each !== '').join(' ') || words.customer.yourAmplifier,
    kind: w.title,
    facts: facts.map(([name, text]) => [name, text === '' ? words.notWritten : text] as const),
    opening: [
      ...biasBlocks(telling),
      ...partBlocks(telling),
      paragraph([{ kind: 'sign', sign: words.marks.warning }, ' ', strong(w.caution)], 'warning'),
    ],
    sections: [],
  };
}

function checkOut({ amplifier }: Telling): PhaseView | undefined {
  return findRead(amplifier.phases, 'as-left');
}

function mainsText(telling: Telling): string {
  const mains = checkOut(telling)?.verdictSet?.mains;
  return mains === undefined ? telling.words.notRead : telling.numbers.say(mains, 6);
}

function biasBlocks(telling: Telling): readonly Block[] {
  const { label: w } = telling.words;
  const view = checkOut(telling);
  const valves = view === undefined ? [] : biasedValves(view);
  const items = view === undefined ? [] : valves.flatMap((ref) => biasItem(telling, view, ref));
  return items.length === 0
    ? [paragraph(w.biasNotRead)]
    : [{ kind: 'heading', text: w.bias }, listOf(items), paragraph(w.computed, 'small')];
}

/** Output valves by their dissipation, and any with a screen whose grid or cathode was read. */
function biasedValves(view: PhaseView): readonly string[] {
  const known = outputValves([view]);
  const others = [...view.parts.values()].filter(
    ({ ref, type }) =>
      !known.includes(ref) &&
      (type?.valve?.kind === 'beam-tetrode' || type?.valve?.kind === 'pentode') &&
      (findVolts(view, `${ref}.k`) !== undefined || findVolts(view, `${ref}.g`) !== undefined),
  );
  return [...known, ...others.map(({ ref }) => ref)];
}

function biasItem(telling: Telling, view: PhaseView, ref: string): readonly Item[] {
  const { words, numbers, places, english } = telling;
  const { label: w } = words;
  const say = (reading: BenchReading | undefined): string | undefined =>
    reading === undefined ? undefined : readingText(telling, reading);
  const [grid, cathode] = [findVolts(view, `${ref}.g`), findVolts(view, `${ref}.k`)];
  const [gridVolts, cathodeVolts] = [say(grid), say(cathode)];
  const current = findFigure(view, 'cathode-current', ref);
  const power = findFigure(view, 'anode-dissipation', ref);
  const loading = findFigure(view, 'anode-loading', ref);
  const isFixed = findBiasMethod(view, ref) === 'fixed';
  const said: readonly Text[] = [
    ...(isFixed && gridVolts !== undefined ? [w.grid(gridVolts)] : []),
    ...(cathodeVolts !== undefined ? [w.cathode(cathodeVolts)] : []),
    ...(current === undefined ? [] : [w.current(numbers.band(current))]),
    ...(power === undefined
      ? []
      : [
          w.watts(
            numbers.band(power),
            loading && numbers.share(loading.quantity.value),
            loading?.limit && numbers.say(loading.limit.quantity),
          ),
        ]),
  ];
  if (said.length === 0) return [];
  const remark = power?.remark ?? current?.remark;
  const source = cathode ?? grid;
  return [
    {
      text: [
        strong(ref),
        ' ',
        said.flatMap((each, i) => (i === 0 ? [each] : ['; ', each])),
        remark === undefined ? undefined : ['; ', english(remark)],
      ],
      line: source && places.line(source.source),
    },
  ];
}

/** What is not as drawn when it leaves; without a chassis sheet only what this job changed. */
function partBlocks(telling: Telling): readonly Block[] {
  const { words, amplifier, sheet } = telling;
  const { label: w } = words;
  const isDrawn = amplifier.phases.some(({ phase }) => phase === 'factory');
  const worked = changeRows(telling, false).filter((row) => !isLeft(row));
  const changed = worked.filter((row) => row.was !== row.is);
  const changedRefs = new Set(changed.map(({ ref }) => ref));
  const found = departureRows(telling).filter(({ ref }) => !changedRefs.has(ref));
  const [received, returned] = [sheet.field('received')?.text, sheet.field('returned')?.text];
  const fitted = changed.filter((row) => !isDrawn || !isAsDrawn(telling, row));
  const head: Block = { kind: 'heading', text: isDrawn ? w.parts : w.partsChanged };
  const none = isDrawn ? w.partsNone : `${w.changesNone} ${w.partsUnknown}`;
  const before = earlierParts(telling, new Set([...worked, ...found].map(({ ref }) => ref)));
  if (fitted.length + found.length + before.length === 0) return [head, paragraph(none)];
  return [
    head,
    ...datedParts(telling, fitted, returned === undefined ? w.undated : w.fitted(returned)),
    ...before,
    ...datedParts(telling, found, received === undefined ? w.undated : w.found(received)),
    ...(isDrawn ? [] : [paragraph(w.partsUnknown)]),
  ];
}

/** What the job before this one fitted and nothing since tells of: it is there still, and its own slip may be gone. */
function earlierParts(telling: Telling, told: ReadonlySet<string>): readonly Block[] {
  const { analysis, amplifier, sheet, words } = telling;
  const { earlier } = analysis;
  if (earlier === undefined) return [];
  const found = amplifier.phases.find(({ phase }) => phase === 'as-found')?.parts;
  const isWritten = (ref: string) => found?.get(ref)?.source.file === sheet.uri;
  const then: Telling = { ...telling, sheet: earlier.sheet, amplifier: earlier.amplifier };
  const rows = changeRows(then, false).filter(
    (row) =>
      row.was !== row.is &&
      !isLeft(row) &&
      !told.has(row.ref) &&
      !isWritten(row.ref) &&
      !isAsDrawn(telling, row),
  );
  const returned = earlier.sheet.field('returned')?.text;
  return datedParts(
    telling,
    rows,
    returned === undefined ? words.label.undated : words.label.fitted(returned),
  );
}

/** Parts of one day, which is said once for them all. */
function datedParts(telling: Telling, rows: readonly ChangeRow[], dated: string): readonly Block[] {
  if (rows.length === 0) return [];
  const head = dated.charAt(0).toUpperCase() + dated.slice(1);
  return [paragraph(`${head}:`), listOf(rows.map((row) => partItem(telling, row)))];
}

/** Whether the work brought a part back to what the chassis sheet has. */
function isAsDrawn(telling: Telling, { change }: ChangeRow): boolean {
  const drawn = telling.amplifier.phases.find(({ phase }) => phase === 'factory')?.parts.get(change.ref);
  if (change.work === 'removed') return drawn === undefined;
  if (change.is === undefined || change.work !== undefined) return change.work !== undefined;
  return drawn !== undefined && describePart(drawn, telling) === describePart(change.is, telling);
}

function partItem(
  { words, places, amplifier, ...telling }: Telling,
  { ref, is, was, change }: ChangeRow,
): Item {
  const { label: w } = words;
  const drawn = amplifier.phases.find(({ phase }) => phase === 'factory')?.parts.get(ref);
  const before = (drawn && describePart(drawn, { words, ...telling })) ?? was;
  const instead = change.work === 'removed' ? `(${before})` : w.instead(before);
  return {
    text: [strong(ref), ` ${is}`, before === words.none ? undefined : ` ${instead}`],
    line: places.line(change.source),
  };
}
