/** Owns how readings are told to the bench: one table a chart, valve by valve, found beside left beside nominal, with the conditions of each. */
import type { BenchReading, PhaseView } from '../bench/model.ts';
import { compareNames } from '../bench/points.ts';
import { nominalAt } from '../rules/nominal.ts';
import type { ReadingSet } from '../sheet/model.ts';
import { MAINS_MOVED } from '../shop/equal-mains.ts';
import { type Chart, type ChartRow, chartsOf } from './charts.ts';
import { aside, type Block, type Group, joined, paragraph, type Row, strong, type Text } from './document.ts';
import type { Telling } from './telling.ts';
import type { Words } from './words.ts';

/** Readings are shown as exactly as they were read. */
const DIGITS = 6;

export function readingBlocks(telling: Telling): readonly Block[] {
  // That the mains moved is said once for all charts of the same two.
  let moved: string | undefined;
  return chartsOf(telling.amplifier.phases).flatMap((chart) => {
    const note = mainsNote(telling, chart);
    const isNews = note !== undefined && moved?.startsWith(note) !== true;
    if (isNews) moved = note;
    return [chartTable(telling, chart), ...(isNews ? [paragraph(note, 'small')] : [])];
  });
}

function chartTable(telling: Telling, chart: Chart): Block {
  const { words } = telling;
  const { bench: w } = words;
  const compares = chart.sides.length === 2;
  const nominals = chart.kind === 'normal' ? nominalTexts(telling, chart) : new Map<ChartRow, Text>();
  const hasNominal = nominals.size > 0;
  const isWork = chart.kind === 'work';
  const rowOf = (row: ChartRow): Row => ({
    cells: [
      pointText(words, row.like),
      quantityText(telling, row.like),
      ...row.read.map((side) => cellText(telling, side, !isWork)),
      ...(compares
        ? [row.difference === undefined ? words.none : differenceText(telling, row.difference)]
        : []),
      ...(hasNominal ? [nominals.get(row) ?? words.none] : []),
      placesText(telling, row),
    ],
    line: lineOfRow(telling, row),
  });
  return {
    kind: 'table',
    role: 'readings',
    caption: captionOf(telling, chart),
    columns: [
      { head: w.point },
      { head: w.quantity },
      ...chart.sides.map(({ view }) => ({ head: words.phases[view.phase], role: 'number' as const })),
      ...(compares ? [{ head: w.difference, role: 'number' as const }] : []),
      ...(hasNominal ? [{ head: w.nominal, role: 'number' as const }] : []),
      { head: w.where, role: 'place' },
    ],
    rows: (isWork ? byConditions(chart.rows) : byValve(telling, chart.rows)).flatMap(({ head, rows }) => [
      ...head,
      ...rows.map(rowOf),
    ]),
    hasRowHeads: true,
  };
}

interface RowGroup {
  readonly head: readonly Group[];
  readonly rows: readonly ChartRow[];
}

/** Rows of each valve together under its name, then the supply and all other points. A chart without valves stays as it is. */
export function byValve({ amplifier, words }: Telling, rows: readonly ChartRow[]): readonly RowGroup[] {
  const typeOf = (ref: string): string | undefined =>
    amplifier.phases.findLast(({ parts }) => parts.get(ref)?.type !== undefined)?.parts.get(ref)?.type?.text;
  const groups = new Map<string, ChartRow[]>();
  for (const row of rows) {
    const valve = row.like.to === undefined ? (/^(V\d+[A-Z]?)(?:\.|$)/.exec(row.like.at)?.[1] ?? '') : '';
    groups.set(valve, [...(groups.get(valve) ?? []), row]);
  }
  const valves = [...groups.keys()].filter((ref) => ref !== '').sort(compareNames);
  if (valves.length === 0) return [{ head: [], rows }];
  const others = groups.get('');
  return [
    ...valves.map((ref) => {
      const type = typeOf(ref);
      const group: Text = type === undefined ? ref : [ref, ' ', aside('note', type)];
      return { head: [{ group }], rows: groups.get(ref) ?? [] };
    }),
    ...(others === undefined ? [] : [{ head: [{ group: words.bench.otherPoints }], rows: others }]),
  ];
}

/** Rows together under the conditions that they were read in, in the order of the sheet; those without any first. */
function byConditions(rows: readonly ChartRow[]): readonly RowGroup[] {
  const groups = new Map<string, ChartRow[]>([['', []]]);
  for (const row of rows) {
    const own = ownConditions(row.read.find((side) => side.length > 0)?.at(-1));
    groups.set(own, [...(groups.get(own) ?? []), row]);
  }
  return [...groups].map(([group, under]) => ({ head: group === '' ? [] : [{ group }], rows: under }));
}

function ownConditions(reading: BenchReading | undefined): string {
  return reading?.conditions.map((condition) => condition.words).join(', ') ?? '';
}

/** What each point should stand at, and how far the last side is from that at its own mains. */
function nominalTexts(telling: Telling, { sides, rows }: Chart): ReadonlyMap<ChartRow, Text> {
  const { numbers, words, sheet } = telling;
  const { bench: w } = words;
  const texts = new Map<ChartRow, Text>();
  for (const row of rows) {
    const { like } = row;
    if (like.quantity !== 'voltage' || like.to !== undefined || like.at === 'mains') continue;
    const last = row.read.findLastIndex((read) => read.length > 0);
    const [side, reading] = [sides[last], row.read[last]?.at(-1)];
    const nominal = side === undefined ? undefined : nominalAt({ sheet }, side.view, like.node ?? like.at);
    if (nominal === undefined || side === undefined || reading === undefined) continue;
    // A chassis sheet's own readings are what should be.
    if (side.view.phase === 'factory') continue;
    const said = numbers.known(nominal.reading.value);
    const mains = side.set?.mains?.value;
    const isKnown = nominal.isColumn || (mains !== undefined && nominal.mains !== undefined);
    const factor = mains !== undefined && nominal.mains !== undefined ? mains / nominal.mains : 1;
    const should = nominal.volts * factor;
    const share = reading.value.quantity.value / should - 1;
    const against =
      should === 0 || !Number.isFinite(share) || reading.special !== undefined
        ? undefined
        : w.againstNominal(words.phases[side.view.phase], numbers.deviation(share));
    const notes = [against, isKnown ? undefined : w.nominalMainsUnknown].filter((note) => note !== undefined);
    texts.set(row, notes.length === 0 ? said : [said, ' ', aside('note', notes.join('; '))]);
  }
  return texts;
}

function captionOf(telling: Telling, { kind, sides }: Chart): Text {
  const { words } = telling;
  const { bench: w } = words;
  const title = {
    normal: w.normal,
    other: w.otherConditions,
    measurements: w.measurements,
    work: w.duringWork,
  }[kind];
  const conditions = sides.flatMap(({ view, set }) =>
    set === undefined ? [] : [{ phase: words.phases[view.phase], said: conditionsText(telling, set) }],
  );
  const first = conditions[0];
  if (first === undefined) return strong(title);
  const isSame = conditions.every(({ said }) => said === first.said);
  const lines = isSame
    ? [{ phase: conditions.map(({ phase }) => phase).join(', '), said: first.said }]
    : conditions;
  const said = joined(
    lines.map(({ phase, said: each }) => aside('conditions', `${phase}: ${each}`)),
    ' ',
  );
  return [strong(title), ' ', said];
}

/** `mains 236 V, dummy load, no signal`. */
function conditionsText({ words, numbers }: Telling, { mains, conditions }: ReadingSet): string {
  const { bench: w } = words;
  const others = conditions.filter(({ kind }) => kind !== 'mains').map((condition) => condition.words);
  const said = [mains === undefined ? w.mainsUnwritten : w.mains(numbers.say(mains, DIGITS)), ...others];
  return said.join(', ');
}

/** With how far it moved; undefined where it did not. */
function mainsNote({ words, numbers }: Telling, { kind, sides, rows }: Chart): string | undefined {
  const [found, left] = sides.map(({ set }) => set?.mains?.value);
  if (kind === 'work' || found === undefined || left === undefined || found === 0) return undefined;
  const share = (left - found) / found;
  if (Math.abs(share) <= MAINS_MOVED) return undefined;
  const { bench: w } = words;
  const isReckoned = rows.some(({ difference }) => difference?.atEqualMains !== undefined);
  const said = w.mainsMoved(numbers.deviation(share));
  return isReckoned ? `${said} ${w.equalMainsNote}` : said;
}

/** A point that was read all day long is not told all day long: the last counts. */
const MOST_TOLD = 6;

/** The latest, and how many more there are. */
function atMost({ bench: w }: Words, said: readonly string[]): readonly string[] {
  return said.length <= MOST_TOLD
    ? said
    : [...said.slice(1 - MOST_TOLD), w.more(said.length - MOST_TOLD + 1)];
}

function placesText({ words, places }: Telling, { read }: ChartRow): string {
  return atMost(words, [...new Set(read.flat().map(({ source }) => places.say(source)))]).join('; ');
}

/** The last line of this sheet that has a say in the row. */
export function lineOfRow({ places }: Telling, { read }: ChartRow): number | undefined {
  return read
    .flat()
    .map(({ source }) => places.line(source))
    .findLast((line) => line !== undefined);
}

export function pointText(words: Words, { at, to }: BenchReading): string {
  return to === undefined ? at : words.between(at, to);
}

export function quantityText({ words, numbers }: Telling, like: BenchReading): string {
  const { quantity, wave, frequency } = like;
  const said = [
    words.quantities[quantity],
    wave === undefined ? undefined : words.waves[wave],
    frequency === undefined ? undefined : `${words.at} ${numbers.say(frequency)}`,
  ];
  return said.filter((each) => each !== undefined).join(' ');
}

/** What was read, with its own conditions where no head above tells them. */
export function cellText(telling: Telling, side: readonly BenchReading[], tellsConditions = true): Text {
  const { words } = telling;
  const last = side.at(-1);
  if (last === undefined) return words.none;
  const earlier = side.slice(0, -1).map((reading) => readingText(telling, reading));
  const own = tellsConditions ? ownConditions(last) : '';
  const notes = [
    ...(own === '' ? [] : [own]),
    ...(earlier.length === 0 ? [] : [`${words.bench.earlier} ${atMost(words, earlier).join(', ')}`]),
  ];
  const said = readingText(telling, last);
  return notes.length === 0 ? said : [said, ' ', aside('note', notes.join('; '))];
}

/** A reading as the meter said it: `339.6 V`, `open`, `62 Ω + 68 Ω`, `about 340 V`. */
export function readingText({ words, numbers }: Telling, reading: BenchReading): string {
  if (reading.special !== undefined) return words[reading.special];
  const said = numbers.known(reading.value);
  if (reading.second !== undefined) {
    const between = reading.quantity === 'arms' ? ' / ' : ' + ';
    return said + between + numbers.known(reading.second);
  }
  return reading.atVolts === undefined ? said : `${said} ${words.at} ${numbers.say(reading.atVolts, DIGITS)}`;
}

/** A share of next to nothing says less than the two readings. */
const MOST_TELLING = 10;

export function differenceText(
  { words, numbers }: Telling,
  { quantity, share, from, to, atEqualMains }: NonNullable<ChartRow['difference']>,
): Text {
  const said = numbers.difference(quantity, from, to);
  if (share === undefined || Math.abs(share) > MOST_TELLING) return said;
  const whole = `${said} (${numbers.deviation(share)})`;
  return atEqualMains === undefined
    ? whole
    : [whole, ' ', aside('note', words.bench.atEqualMains(numbers.deviation(atEqualMains)))];
}

/** The view of a phase that verdicts are given on, where anything was read in it. */
export function findRead(phases: readonly PhaseView[], phase: PhaseView['phase']): PhaseView | undefined {
  return phases.find((view) => view.phase === phase && view.verdictSet !== undefined);
}
