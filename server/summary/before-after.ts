/** Owns the before/after picture for an owner who asked for it: the few readings that tell most, in plain words, each with a gloss. */
import type { BenchReading, PhaseView } from '../bench/model.ts';
import { isSupplyRail } from '../bench/points.ts';
import { isEarthReading } from '../rules/mains-safety.ts';
import { findVolts } from '../rules/voltages.ts';
import { aside, type Block, paragraph, type Row, type Text } from './document.ts';
import type { PlainPart } from './plain-part.ts';
import { readingText } from './readings.ts';
import { findFigure, subjectsOf } from './stress.ts';
import type { Telling } from './telling.ts';

/** What a row shows of one phase; undefined where nothing was read. */
type Tell = (view: PhaseView) => string | undefined;

export function beforeAfterBlocks(telling: Telling): readonly Block[] {
  const { amplifier, words } = telling;
  const { readings: w } = words.customer;
  const [found, left] = (['as-found', 'as-left'] as const).map((phase) =>
    amplifier.phases.find((view) => view.phase === phase),
  );
  const rows: { readonly cells: readonly [named: Text, before?: string, after?: string] }[] = [];
  const glossed = new Set<string>();
  const addRow = ({ name, does }: PlainPart, tell: Tell): void => {
    const [before, after] = [found && tell(found), left && tell(left)];
    if (before === undefined && after === undefined) return;
    // What holds for the first valve holds for its neighbour.
    const named: Text = glossed.has(does) ? name : [name, ' ', aside('gloss', does)];
    glossed.add(does);
    rows.push({ cells: [named, before, after] });
  };
  addRows(
    telling,
    [found, left].filter((view) => view !== undefined),
    addRow,
  );
  if (rows.length === 0) return [paragraph(w.none)];
  // A job that is not yet done has only the one side.
  const sides = (
    [
      { at: 1, head: w.before },
      { at: 2, head: w.after },
    ] as const
  ).filter(({ at }) => rows.some(({ cells }) => cells[at] !== undefined));
  return [
    paragraph(w.note, 'small'),
    {
      kind: 'table',
      caption: w.title,
      isCaptionUnseen: true,
      columns: [{ head: w.what }, ...sides.map(({ head }) => ({ head }))],
      rows: rows.map(
        ({ cells }): Row => ({
          cells: [cells[0], ...sides.map(({ at }) => unbroken(cells[at] ?? words.notRead))],
        }),
      ),
      hasRowHeads: true,
    },
  ];
}

/** What a meter said stays in one line. */
function unbroken(said: string): string {
  return said.replaceAll(' ', '\u00a0').replaceAll('-', '\u2011');
}

function addRows(
  telling: Telling,
  views: readonly PhaseView[],
  addRow: (named: PlainPart, tell: Tell) => void,
): void {
  const { numbers, words } = telling;
  const { readings: w } = words.customer;
  const say = (reading: BenchReading | undefined): string | undefined =>
    reading === undefined
      ? undefined
      : [readingText(telling, reading), reading.wave === undefined ? undefined : words.waves[reading.wave]]
          .filter((each) => each !== undefined)
          .join(' ');
  /** With a word on how an alternating voltage is told. */
  const addReading = (
    { name, does }: PlainPart,
    find: (view: PhaseView) => BenchReading | undefined,
  ): void => {
    const waves = new Set(views.map((view) => find(view)?.wave));
    const glosses = (['rms', 'pp', 'peak'] as const)
      .filter((wave) => waves.has(wave))
      .map((wave) => w.waveGlosses[wave]);
    addRow({ name, does: [does, ...glosses].join('; ') }, (view) => say(find(view)));
  };
  addRow(w.mains, ({ verdictSet }) => verdictSet?.mains && numbers.say(verdictSet.mains, 6));
  const supply = mainSupply(views);
  if (supply !== undefined) {
    addRow(w.supply, (view) => say(findVolts(view, supply)));
    addReading(w.hum, (view) =>
      inVerdictSet(view, (each) => each.quantity === 'ripple' && isAt(each, supply)),
    );
  }
  for (const ref of outputValves(views)) {
    addRow(w.idle(ref), (view) => {
      const current = findFigure(view, 'cathode-current', ref);
      return current && numbers.band(current);
    });
    addRow(w.heat(ref), (view) => {
      const [power, loading] = [
        findFigure(view, 'anode-dissipation', ref),
        findFigure(view, 'anode-loading', ref),
      ];
      if (power === undefined) return undefined;
      return loading === undefined
        ? numbers.band(power)
        : `${numbers.band(power)}, ${numbers.share(loading.quantity.value)}`;
    });
  }
  for (const { at, frequency } of signalPoints(views)) {
    const named =
      frequency === undefined
        ? w.output
        : { ...w.output, name: `${w.output.name} ${w.outputAt(numbers.say(frequency))}` };
    addReading(named, ({ readings }) =>
      readings.findLast(
        (each) =>
          each.quantity === 'ac-voltage' && each.at === at && each.frequency?.value === frequency?.value,
      ),
    );
  }
  addRow(w.earth, ({ readings }) => say(readings.findLast(isEarthReading)));
}

function inVerdictSet(view: PhaseView, holds: (reading: BenchReading) => boolean): BenchReading | undefined {
  return view.readings.findLast((each) => each.set.id === view.verdictSet?.id && holds(each));
}

function isAt({ at, node, to }: BenchReading, point: string): boolean {
  return to === undefined && (node ?? at) === point;
}

/** The rail with the highest volts that anything was read at. */
function mainSupply(views: readonly PhaseView[]): string | undefined {
  let highest: { readonly at: string; readonly volts: number } | undefined;
  for (const view of views)
    for (const { at, node, to, quantity, set, value } of view.readings) {
      const point = node ?? at;
      const isOne =
        quantity === 'voltage' && to === undefined && set.id === view.verdictSet?.id && isSupplyRail(point);
      if (isOne && value.quantity.value > (highest?.volts ?? 0))
        highest = { at: point, volts: value.quantity.value };
    }
  return highest?.at;
}

/** Valves with a screen of which a dissipation is known: those that an owner hears as the output. */
export function outputValves(views: readonly PhaseView[]): readonly string[] {
  return subjectsOf(views, ['anode-dissipation']).filter((ref) =>
    views.some(({ parts }) => {
      const kind = parts.get(ref)?.type?.valve?.kind;
      return kind === 'pentode' || kind === 'beam-tetrode';
    }),
  );
}

function signalPoints(views: readonly PhaseView[]): readonly Pick<BenchReading, 'at' | 'frequency'>[] {
  const points = new Map<string, Pick<BenchReading, 'at' | 'frequency'>>();
  for (const { readings, parts } of views)
    for (const { at, to, quantity, frequency } of readings)
      if (quantity === 'ac-voltage' && to === undefined && parts.get(at)?.class === 'loudspeaker')
        points.set(`${at} ${frequency?.value}`, { at, ...(frequency && { frequency }) });
  return [...points.values()];
}
