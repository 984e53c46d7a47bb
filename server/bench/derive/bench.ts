/** Owns what every family of figures is given: the circuit of one phase, what one set read in it, and the figures made so far. */
import type { Valve, ValveKind } from '../../catalogue/valve.ts';
import type { ReadingSet, Sheet } from '../../sheet/model.ts';
import type { Ohms } from '../../units/si.ts';
import { isRectifier, type Look } from '../look.ts';
import type { BenchReading, Figure, FigureName, FittedPart, PhaseView, RoleFound } from '../model.ts';
import type { Moment } from './figure.ts';
import type { SetReadings } from './set-readings.ts';

/** Figures made so far in one set; a family adds to it and later ones build on it. */
export interface Ledger {
  readonly add: (figure: Figure | undefined) => Figure | undefined;
  readonly find: (subject: string, name: FigureName) => Figure | undefined;
  readonly all: () => readonly Figure[];
}

/** What holds for a phase whatever was read. */
export interface PhaseBench {
  readonly sheet: Sheet;
  /** That sheet first, then those under it. */
  readonly sheets: readonly Sheet[];
  readonly view: Omit<PhaseView, 'figures' | 'offers' | 'unanswered'>;
  readonly look: Look;
  readonly parts: readonly FittedPart[];
  readonly valves: readonly ValveAt[];
  readonly outputTransformers: readonly FittedPart[];
  /** Resistance read from a node to another (`V5.a to B+1: 138R`), by either node. */
  readonly ohmicAt: ReadonlyMap<string, BenchReading>;
  readonly sense?: Ohms;
  /** Input resistance of the shop's meter; where it is not said, a usual one is assumed. */
  readonly meter?: Ohms;
}

/** One set of a phase. */
export interface SetBench extends PhaseBench {
  readonly moment: Moment;
  readonly set: ReadingSet;
  readonly read: SetReadings;
  readonly ledger: Ledger;
}

export function setBench(
  phase: PhaseBench,
  moment: Moment,
  set: ReadingSet,
  read: SetReadings,
  ledger: Ledger,
): SetBench {
  return {
    sheet: phase.sheet,
    sheets: phase.sheets,
    view: phase.view,
    look: phase.look,
    parts: phase.parts,
    valves: phase.valves,
    outputTransformers: phase.outputTransformers,
    ohmicAt: phase.ohmicAt,
    sense: phase.sense,
    meter: phase.meter,
    moment,
    set,
    read,
    ledger,
  };
}

/** One electrode system and the nodes it sits at. */
export interface ValveAt {
  readonly ref: string;
  readonly part: FittedPart;
  readonly valve?: Valve;
  /** `triode` also where the type is not known and no screen is spoken of. */
  readonly kind: ValveKind;
  readonly isKindKnown: boolean;
  readonly a: string;
  readonly g: string;
  readonly g2: string;
  readonly k: string;
  /** All valves, itself included, whose cathodes are tied to its own. */
  readonly onCathode: readonly string[];
}

export function createLedger(): Ledger {
  const figures = new Map<string, Figure>();
  return {
    add: (figure) => {
      if (figure !== undefined) figures.set(`${figure.figure} ${figure.subject}`, figure);
      return figure;
    },
    find: (subject, name) => figures.get(`${name} ${subject}`),
    all: () => [...figures.values()],
  };
}

/** The amplifying valves of a phase; a twin whose sections are told apart is there by its sections only. */
export function valvesOf(view: PhaseBench['view'], look: Look): readonly ValveAt[] {
  const { circuit } = view;
  const all = look.inOrder.filter((part) => part.class === 'valve');
  const wholes = new Set<string>();
  for (const part of all) if (part.section !== undefined) wholes.add(part.whole);
  const valves: ValveAt[] = [];
  for (const part of all) {
    if (isRectifier(part) || (part.section === undefined && wholes.has(part.ref))) continue;
    const valve = part.type?.valve;
    const at = (electrode: string): string =>
      circuit.nodeOf(`${part.ref}.${electrode}`) ?? `${part.ref}.${electrode}`;
    const known = part.valveSection?.kind ?? valve?.sections[0]?.kind;
    const k = at('k');
    const mates = k === 'gnd' ? [part.ref] : look.at(k, 'k');
    valves.push({
      ref: part.ref,
      part,
      valve,
      kind: known ?? (hasScreen(part.ref, view) ? 'beam-tetrode' : 'triode'),
      isKindKnown: known !== undefined,
      a: at('a'),
      g: at('g'),
      g2: at('g2'),
      k,
      onCathode: mates.length > 0 ? mates : [part.ref],
    });
  }
  return valves;
}

function hasScreen(ref: string, { circuit, readings }: PhaseBench['view']): boolean {
  const screen = `${ref}.g2`;
  return circuit.nodeOf(screen) !== undefined || readings.some(({ at }) => at === screen);
}

/** Whether a part is the anode load of this valve, and not of one whose load ends where this one's anode is. */
export function isLoadOf(bench: PhaseBench, ref: string, valve: string): boolean {
  const found = bench.view.roles.get(ref);
  return found?.role === 'anode-load' && found.serves.includes(valve);
}

export function roleOf(bench: PhaseBench, ref: string): RoleFound['role'] {
  return bench.view.roles.get(ref)?.role ?? 'unknown';
}

/** `6V6GT data sheet, design-centre edition; from memory, unverified (design-centre)`: whose limit it is, and by which system. */
export function limitSource(
  valve: Valve,
  datum: { readonly trust: { readonly source: string }; readonly system?: string },
): string {
  const system = datum.system ?? valve.system;
  return `${valve.type}, ${system}: ${datum.trust.source}`;
}
