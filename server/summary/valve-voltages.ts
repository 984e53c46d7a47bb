/** Owns the table of what valves' anodes and screens stand at against the volts that their data sheets allow. */
import type { BenchReading, FittedPart, PhaseView } from '../bench/model.ts';
import { compareNames } from '../bench/points.ts';
import type { RatingSystem } from '../catalogue/valve.ts';
import { findVolts } from '../rules/voltages.ts';
import type { Quantity } from '../units/si.ts';
import { scaleOf } from './bars.ts';
import { aside, type Block, strong, type Text } from './document.ts';
import { toldViews } from './stress.ts';
import type { Telling } from './telling.ts';

interface Stand {
  readonly volts: Quantity<'V'>;
  readonly reading: BenchReading;
  /** From the cathode, or from ground because nothing was read there. */
  readonly isToGround: boolean;
}

interface Limit {
  readonly volts: Quantity<'V'>;
  readonly type: string;
  readonly system: RatingSystem;
  readonly source: string;
}

interface VoltRow {
  readonly ref: string;
  readonly electrode: 'anode' | 'screen';
  readonly cells: readonly (Stand | undefined)[];
  readonly limit: Limit;
}

const ELECTRODES = [
  { electrode: 'anode', terminal: 'a', limit: 'anodeVoltage' },
  { electrode: 'screen', terminal: 'g2', limit: 'screenVoltage' },
] as const;

export function valveVoltageBlocks(telling: Telling): readonly Block[] {
  const { amplifier, words, places } = telling;
  const { bench: w } = words;
  const views = toldViews(amplifier.phases).filter(
    ({ verdictSet, phase }) => verdictSet !== undefined || phase === 'factory',
  );
  const refs = new Set(
    views.flatMap(({ parts }) => [...parts.values()].filter(isJudged).map(({ ref }) => ref)),
  );
  const rows = [...refs].sort(compareNames).flatMap((ref) => rowsOf(views, ref));
  const told = views.filter((_, i) => rows.some(({ cells }) => cells[i] !== undefined));
  if (rows.length === 0) return [];
  const scale = scaleOf(
    rows.flatMap(({ cells, limit }) => cells.flatMap((cell) => (cell ? [shareOf(cell, limit)] : []))),
  );
  return [
    {
      kind: 'table',
      role: 'stress',
      caption: w.valveVoltsNote,
      columns: [
        { head: w.valve },
        ...told.map(({ phase }) => ({ head: words.phases[phase] })),
        { head: w.limit },
      ],
      rows: rows.map((row) => ({
        cells: [
          `${row.ref} ${w[row.electrode]}`,
          ...told.map((view) => standText(telling, row.cells[views.indexOf(view)], row.limit, scale)),
          limitText(telling, row.limit),
        ],
        line: row.cells.flatMap((cell) => (cell ? [places.line(cell.reading.source)] : [])).at(-1),
      })),
      hasRowHeads: true,
    },
  ];
}

function isJudged({ class: kind, type }: FittedPart): boolean {
  return kind === 'valve' && type?.valve !== undefined && type.valve.kind !== 'rectifier';
}

function rowsOf(views: readonly PhaseView[], ref: string): readonly VoltRow[] {
  return ELECTRODES.flatMap(({ electrode, terminal, limit: name }) => {
    const valve = views.findLast(({ parts }) => parts.has(ref))?.parts.get(ref)?.type?.valve;
    const datum = valve?.limits[name];
    if (valve === undefined || datum === undefined || datum.value <= 0) return [];
    const cells = views.map((view) => standOf(view, ref, terminal));
    if (cells.every((cell) => cell === undefined)) return [];
    const limit: Limit = {
      volts: { value: datum.value, unit: 'V' },
      type: valve.type,
      system: datum.system ?? valve.system,
      source: datum.trust.source,
    };
    return [{ ref, electrode, cells, limit }];
  });
}

function standOf(view: PhaseView, ref: string, terminal: string): Stand | undefined {
  const reading = findVolts(view, `${ref}.${terminal}`);
  if (reading === undefined) return undefined;
  const cathode = findVolts(view, `${ref}.k`);
  const isGrounded = view.circuit.nodeOf(`${ref}.k`) === 'gnd';
  const volts = reading.value.quantity.value - (cathode?.value.quantity.value ?? 0);
  return { volts: { value: volts, unit: 'V' }, reading, isToGround: cathode === undefined && !isGrounded };
}

function shareOf({ volts }: Stand, limit: Limit): number {
  return Math.abs(volts.value) / limit.volts.value;
}

function standText(
  { words, numbers, places }: Telling,
  stand: Stand | undefined,
  limit: Limit,
  scale: number,
): Text {
  if (stand === undefined) return words.none;
  const { bench: w } = words;
  const share = shareOf(stand, limit);
  const [volts, used] = [numbers.say(stand.volts), numbers.share(share)];
  const says = w.barOf(volts, used, numbers.say(limit.volts));
  return [
    { kind: 'bar', bar: { share, says }, scale },
    ` ${volts}, `,
    strong(used),
    ' ',
    stand.isToGround ? [aside('note', w.toGround), ' '] : undefined,
    aside('place', places.say(stand.reading.source)),
  ];
}

function limitText({ words, numbers, english }: Telling, { volts, type, system, source }: Limit): Text {
  return [
    numbers.say(volts),
    ' ',
    aside('note', [words.dataSheet(type, words.systems[system]), ': ', english(source)]),
  ];
}
