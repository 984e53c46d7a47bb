/**
 * Owns how a technician writes a unit down: the parts with ratings and connections, then what a 3½-digit meter shows, in a
 * chart or line by line. It writes what was read, not what is true.
 */
import type { Chance } from './random.ts';
import { type Part, partsOf, type Rest, rest, type Unit, type Valve } from './unit.ts';

/** How the sheet is laid out; each is a habit of some bench. */
export type Layout = 'items' | 'table';

export interface Notes {
  readonly unit: Unit;
  readonly layout: Layout;
  /** Name of the chassis sheet beside it, where that lists the parts. */
  readonly chassis?: string;
  /** Lines before the readings, under conditions of their own. */
  readonly before?: readonly string[];
  /** Lines after the readings: what was measured or lifted to make sure. */
  readonly evidence?: readonly string[];
  /** Lines after the parts. */
  readonly moreParts?: readonly string[];
  /** The frequency stands beside the ripple, however the bench's habit. */
  readonly showsRippleFrequency?: boolean;
  /** Impedance of the loudspeaker on the 8 ohm tap, where it is not 8 ohm. */
  readonly speaker?: string;
  /** What is written for a point, given what the meter showed there. */
  readonly miswrite?: (point: string, shown: (point: string) => string) => string | undefined;
  /** The unit after work, with the lines of that work. */
  readonly work?: { readonly lines: readonly string[]; readonly after: Unit };
}

export function writeSheet(notes: Notes, chance: Chance): string {
  const { unit, layout } = notes;
  const { nominal, hertz } = unit.mains;
  const lines = [
    '---',
    `job: ${3000 + Math.floor(chance.between(0, 900))}`,
    ...(notes.chassis === undefined ? [`mains: ${nominal} V ${hertz} Hz`] : [`chassis: ${notes.chassis}`]),
    '---',
    '',
    `# ${unit.title}`,
    '',
    '## Complaint',
    '',
    chance.pick([
      'In for a service.',
      '"Sounds tired."',
      'Crackles now and then; owner wants it looked over.',
    ]),
    '',
    '## As found',
    '',
    ...(notes.chassis === undefined ? writeParts(notes) : []),
    ...(notes.moreParts ?? []).map((line) => `- ${line}`),
    '',
    ...(notes.before ?? []),
    '',
    ...writeReadings(notes, unit, chance),
    '',
    ...(notes.evidence ?? []).map((line) => `- ${line}`),
    '',
  ];
  if (notes.work !== undefined) {
    lines.push(
      '## Work',
      '',
      '- [x] plug out, discharged through 10k: B+1: 3 V, B+2: 2 V, B+3: 1 V, B+4: 1 V',
    );
    lines.push(...notes.work.lines.map((line) => `- ${line}`), '', '## As left', '');
    lines.push(...writeReadings({ unit, layout }, notes.work.after, chance), '- earth to chassis: 0.1R', '');
  }
  return `${lines
    .join('\n')
    .replace(/\n{3,}/g, '\n\n')
    .trimEnd()}\n`;
}

/** The chassis sheet of a design: its parts and what an average unit shows at nominal mains. */
export function writeChassis(unit: Unit, chance: Chance): string {
  const { nominal, hertz } = unit.mains;
  const notes: Notes = { unit, layout: 'table' };
  const lines = [
    '---',
    'sheet: chassis',
    `model: ${unit.title}`,
    `mains: ${nominal} V ${hertz} Hz`,
    '---',
    '',
  ];
  lines.push(`# ${unit.title}`, '', '## Parts', '', ...writeParts(notes), '', '## Voltages', '');
  lines.push(...writeReadings(notes, unit, chance), '');
  return lines.join('\n').replace(/\n{3,}/g, '\n\n');
}

const HEATER_AMPERES: Readonly<Record<string, number>> = {
  '12AX7': 0.3,
  '12AT7': 0.3,
  '12AU7': 0.3,
  EL84: 0.76,
  '6V6GT': 0.45,
  '5881': 0.9,
  '6L6GC': 0.9,
  EL34: 1.5,
  KT88: 1.6,
  EZ81: 1,
};

function writeParts({ unit, layout, speaker = '8R' }: Notes): readonly string[] {
  const { supply, output, fuse } = unit;
  const items = [
    `F1 = ${fuse}`,
    `T1 = mains ${windings(unit)}`,
    ...rectifierLines(supply.rectifierRefs, supply.rectifier, supply.tapped),
    ...valveLines(unit),
    ...wires(unit),
    ...partsOf(unit, 'choke').map(
      ({ ref, henries, marked, from, to }) => `${ref} = ${henries}H ${spellOhms(marked)}, ${from} to ${to}`,
    ),
    ...partsOf(unit, 'pot').map(
      ({ ref, marked, top, wiper }) => `${ref} = ${marked}, ${top} to gnd, wiper to ${wiper}`,
    ),
    `LS1 = ${speaker} ${Math.max(15, output.watts * 2)}W`,
    `T2 = output ${output.primary} : 8R ${output.watts}W, ${output.anodes.join(' ')}, ${output.anodes.length === 2 ? `ct ${output.feed}` : output.feed}, LS1 on 8R`,
  ];
  const two = unit.parts.filter((part) => part.kind === 'resistor' || part.kind === 'capacitor');
  const rows = two.map((part) => {
    const [value, rating, kind] = writtenValue(part);
    return { ref: part.ref, value, rating, kind, from: endOf(unit, part.from), to: part.to };
  });
  if (layout === 'items') {
    return [
      ...items,
      ...rows.map(
        ({ ref, value, rating, kind, from, to }) => `${ref} = ${value} ${rating} ${kind}, ${from} to ${to}`,
      ),
    ].map((line) => `- ${line.replace(/ +/g, ' ').replace(' ,', ',')}`);
  }
  return [
    ...items.map((line) => `- ${line}`),
    '',
    '| Ref | Value | Rating | Kind | From | To |',
    '| --- | --- | --- | --- | --- | --- |',
    ...rows.map(
      ({ ref, value, rating, kind, from, to }) =>
        `| ${ref} | ${value} | ${rating} | ${kind} | ${from} | ${to} |`,
    ),
    '',
  ];
}

function windings(unit: Unit): string {
  const { winding, tapped, milliamperes, otherWindings, rectifier } = unit.supply;
  const wholes = new Map(
    partsOf(unit, 'valve').map(({ ref, type }) => [ref.replace(/[AB]$/, ''), HEATER_AMPERES[type] ?? 0]),
  );
  const drawn = [...wholes.values()].reduce((sum, each) => sum + each, HEATER_AMPERES[rectifier] ?? 0);
  const heaters = unit.heaterAmperes ?? Math.ceil(drawn * 1.2 * 2) / 2;
  const own = /^(?:5|GZ)/.test(rectifier) ? ' 5V 3A' : '';
  const high = tapped ? `${winding}-0-${winding}V` : `${winding}V`;
  return `${high} ${milliamperes}mA 6.3V ${heaters}A${own}${otherWindings === '' ? '' : ` ${otherWindings}`}`;
}

/** On a tapped winding two in series on each half: one alone would not stand the whole winding at high mains. */
function rectifierLines(refs: readonly string[], type: string, tapped: boolean): readonly string[] {
  if (!type.startsWith('1N')) return [`${refs.join(', ')} = ${type}, T1 to B+1`];
  if (!tapped) return [`D1-D4 = ${type}, T1 to B+1`];
  return [`D1 + D2 = ${type}, T1 to B+1`, `D3 + D4 = ${type}, T1 to B+1`];
}

function valveLines(unit: Unit): readonly string[] {
  const byType = new Map<string, string[]>();
  for (const { ref, type, g2 } of partsOf(unit, 'valve')) {
    const key = g2 === undefined ? `${type} ${ref.replace(/[AB]$/, '')}` : type;
    byType.set(key, [...(byType.get(key) ?? []), ref]);
  }
  return [...byType].map(([key, refs]) => `${refs.join(', ')} = ${key.split(' ')[0]}`);
}

/** Electrodes that sit on another's node, but for cathodes that share a resistor: those are written at the resistor. */
function wires(unit: Unit): readonly string[] {
  return partsOf(unit, 'valve').flatMap(({ ref, a, g, g2, k }) =>
    (
      [
        ['a', a],
        ['g', g],
        ['g2', g2],
      ] as const
    )
      .flatMap(([electrode, node]) =>
        node === undefined || node === `${ref}.${electrode}` ? [] : [`${ref}.${electrode} = ${node}`],
      )
      .concat(k === `${ref}.k` || k.endsWith('.k') ? [] : [`${ref}.k = ${k}`]),
  );
}

function endOf(unit: Unit, node: string): string {
  if (!node.endsWith('.k')) return node;
  const sharing = partsOf(unit, 'valve').filter(({ k }) => k === node);
  return sharing.map(({ ref }) => `${ref}.k`).join(' ');
}

function writtenValue(part: Part): readonly [value: string, rating: string, kind: string] {
  if (part.kind === 'resistor') {
    const kind = part.style === '1%' ? 'metal film' : part.style;
    return [spellOhms(part.marked), `${part.watts}W${part.style === '1%' ? ' 1%' : ''}`, kind];
  }
  if (part.kind === 'capacitor') return [spellFarads(part.marked), `${part.rating}V`, part.style];
  return ['', '', ''];
}

/** `4k7`, `330R`, `1M`, as on a drawing. */
export function spellOhms(value: number): string {
  const [scaled, letter] =
    value >= 1e6 ? [value / 1e6, 'M'] : value >= 1e3 ? [value / 1e3, 'k'] : [value, 'R'];
  const [whole = '', fraction] = String(Number(scaled.toPrecision(3))).split('.');
  return fraction === undefined ? `${whole}${letter}` : `${whole}${letter}${fraction}`;
}

export function spellFarads(value: number): string {
  const microfarads = value * 1e6;
  return microfarads >= 1
    ? `${Number(microfarads.toPrecision(3))}uF`
    : `${Number((microfarads * 1000).toPrecision(3))}n`;
}

/** What a meter of 1999 counts shows: 200 mV, 2, 20, 200 and 1000 V ranges. */
export function show(value: number): string {
  const size = Math.abs(value);
  const digits = size < 1.9995 ? 3 : size < 19.995 ? 2 : size < 199.95 ? 1 : 0;
  const text = value.toFixed(digits);
  return Number(text) === 0 ? '0' : text;
}

function showMillivolts(value: number): string {
  const size = Math.abs(value) * 1000;
  return `${(value * 1000).toFixed(size < 199.95 ? 1 : 0)} mV`;
}

function writeReadings(notes: Notes, unit: Unit, chance: Chance): readonly string[] {
  const state = rest(unit);
  // One meter on one bench: its error is the same everywhere.
  const gain = 1 + chance.between(-0.003, 0.003);
  const meter = (point: string): string => show(state.volts(nodeOf(unit, point)) * gain);
  const written = (point: string): string => notes.miswrite?.(point, meter) ?? meter(point);
  const mains = `${unit.mains.now} V`;
  const lines = [
    chance.pick([
      `Mains {mains: ${mains}}, dummy load, twenty minutes warm, no signal.`,
      `{mains: ${mains}}, 8 ohm dummy, no signal, warm.`,
      `Mains {mains: ${mains}}. Volume down, warmed up for half an hour.`,
    ]),
    '',
    ...unit.nodes.map((node) =>
      node === 'B+1'
        ? `- B+1: ${written('B+1')} V, ${ripple(state, chance, notes.showsRippleFrequency)}`
        : `- ${node}: ${written(node)} V`,
    ),
  ];
  const valves = partsOf(unit, 'valve');
  const senses = partsOf(unit, 'resistor').filter(({ style }) => style === '1%');
  lines.push(
    `- T2: ${unit.output.ohms.map((each) => `${each.toFixed(0)}R`).join(' + ')}`,
    ...senses.map(({ ref, from }) => `- ${ref}: ${showMillivolts(state.volts(from) * gain)}`),
    '',
  );
  const cellsOf = ({ ref, g2, g, k }: Valve): readonly [string, string, string, string] => [
    written(`${ref}.a`),
    g2 === undefined ? '' : written(`${ref}.g2`),
    isReadable(unit, g) ? written(`${ref}.g`) : '',
    senses.some(({ from }) => from === k) ? '' : written(`${ref}.k`),
  ];
  if (notes.layout === 'table') {
    lines.push('| Valve | a | g2 | g | k |', '| --- | --- | --- | --- | --- |');
    for (const valve of valves) {
      lines.push(
        `| ${valve.ref} | ${cellsOf(valve)
          .map((cell) => cell || '-')
          .join(' | ')} |`,
      );
    }
  } else {
    for (const valve of valves) {
      const cells = cellsOf(valve)
        .map((cell, i) => (cell === '' ? '' : `${['a', 'g2', 'g', 'k'][i]} ${cell}`))
        .filter((cell) => cell !== '');
      lines.push(`- ${valve.ref}: ${cells.join(', ')}`);
    }
  }
  return lines;
}

/** A grid that floats up with its cathode is left out of a chart: the meter pulls it down. */
function isReadable(unit: Unit, grid: string): boolean {
  return partsOf(unit, 'resistor').every(({ from, to }) => from !== grid || !['tail', 'foot'].includes(to));
}

function nodeOf(unit: Unit, point: string): string {
  const [ref, electrode] = point.split('.');
  const valve = partsOf(unit, 'valve').find((each) => each.ref === ref);
  if (valve === undefined) return point;
  const node = { a: valve.a, g: valve.g, k: valve.k, g2: valve.g2 }[electrode ?? ''];
  return node ?? point;
}

function ripple({ ripplePeakToPeak, rippleHertz }: Rest, chance: Chance, isTold = false): string {
  const size = Number(ripplePeakToPeak.toPrecision(2));
  return !isTold && chance.next() < 0.5 ? `${size} Vpp` : `${size} Vpp ${rippleHertz} Hz`;
}
