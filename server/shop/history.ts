/**
 * Owns the return visits of one amplifier: what was read when it last went back beside what is read when it comes again, at
 * equal mains where both mains are written; how each valve has moved, and which parts were changed between.
 */
import { type Figure, findMeasured, type PhaseView } from '../bench/model.ts';
import { compareNames } from '../bench/points.ts';
import { workDone } from '../rules/work-done.ts';
import type { Phase } from '../sheet/model.ts';
import type { Quantity } from '../units/si.ts';
import { sayMarked } from './compare-words.ts';
import { goesWithMains, mainsFactor } from './equal-mains.ts';
import type { Analysis } from './shop.ts';
import type { ShopLanguage } from './shop-words.ts';
import { compareVisits, monthsBetween, type Visit, visitOf } from './visits.ts';

/** One reading of a moment, in normal running. */
export interface HeldReading {
  /** Equal for readings that may stand side by side. */
  readonly key: string;
  /** `B+1`, `V3.k`, `V4.g2 to B+2`. */
  readonly at: string;
  readonly what: string;
  readonly quantity: Quantity;
  readonly goesWithMains: boolean;
  /** Direct volts. */
  readonly isDirect: boolean;
}

export const VALVE_FIGURES = ['current', 'dissipation', 'anode'] as const;
export type ValveFigure = (typeof VALVE_FIGURES)[number];

/** A number with the band that it may lie in, where its readings or an assumption leave one. */
export interface Banded extends Quantity {
  readonly low?: number;
  readonly high?: number;
}

/** A valve at a moment: its cathode current, its anode's dissipation, and the volts at its anode. */
export interface HeldValve {
  /** Of valves that share a cathode resistor, for their currents together: `V3,V4`. */
  readonly ref: string;
  readonly type?: string;
  readonly figures: Readonly<Partial<Record<ValveFigure, Banded>>>;
  /** The cathode resistor that they share. */
  readonly through?: string;
  /** With a cathode resistor its current follows the mains about in proportion. */
  readonly isSelfBiased: boolean;
}

/** What was read in one phase of a visit. */
export interface Moment {
  readonly phase: Phase;
  /** In volts, where it is written. */
  readonly mains?: number;
  readonly readings: readonly HeldReading[];
  readonly valves: readonly HeldValve[];
  /** Read on parts themselves, by the end of the phase: capacitance, resistance. */
  readonly parts: readonly { readonly ref: string; readonly what: string; readonly quantity: Quantity }[];
}

/** What one visit leaves for the next: small, and plain data. */
export interface VisitFacts {
  readonly visit: Visit;
  /** The path of the job that it says it returns. */
  readonly returns?: string;
  readonly moments: readonly Moment[];
  /** The work: `C11 47 µF 500 V electrolytic → 47 µF 550 V electrolytic`. */
  readonly changed: readonly { readonly ref: string; readonly says: string }[];
  /** As left, of the parts that the job itself says something of. */
  readonly left: Readonly<Record<string, string>>;
  /** As found, the same: what differs from what was left is somebody else's work. */
  readonly found: Readonly<Record<string, string>>;
}

/** The facts of a job; undefined of any other sheet. `pathOf` says how a sheet is shown. */
export function visitFactsOf(
  analysis: Analysis,
  pathOf: (uri: string) => string,
  language: ShopLanguage,
): VisitFacts | undefined {
  const { says } = language;
  const works: Readonly<Record<string, string>> = says.works;
  const { sheet, amplifier, earlier } = analysis;
  const visit = visitOf(analysis, pathOf(sheet.uri), language);
  if (visit === undefined) return undefined;
  const views = amplifier.phases.filter(
    ({ phase }) => phase === 'as-found' || phase === 'as-left' || phase === 'noted',
  );
  const last = amplifier.phases.findLast(({ phase }) => phase !== 'noted');
  return {
    visit,
    ...(earlier !== undefined && { returns: pathOf(earlier.sheet.uri) }),
    moments: views.flatMap((view) => momentOf(view, language) ?? []),
    changed: workDone(amplifier).map(({ ref, was, is, work }) => {
      const before = was === undefined ? says.history.notThere : sayMarked(was, language);
      const after = is === undefined ? says.works.removed : sayMarked(is, language);
      return {
        ref,
        says: work !== undefined ? `${ref} ${works[work] ?? work}` : `${ref} ${before}\u00a0→\u00a0${after}`,
      };
    }),
    left: ownParts(last, sheet.uri, language),
    found: ownParts(
      amplifier.phases.find(({ phase }) => phase === 'as-found'),
      sheet.uri,
      language,
    ),
  };
}

function ownParts(
  view: PhaseView | undefined,
  file: string,
  language: ShopLanguage,
): Readonly<Record<string, string>> {
  const own: Record<string, string> = {};
  for (const part of view?.parts.values() ?? [])
    if (part.source.file === file && part.since !== 'factory')
      own[part.ref] = sayMarked(
        { ...part, kinds: part.kinds.filter((kind) => !OF_THE_DAY.has(kind)) },
        language,
      );
  return own;
}

/** How a part came in (`12AX7 new`, `EL84 matched pair`): a year on it is the same part without the word. */
const OF_THE_DAY: ReadonlySet<string> = new Set(['new', 'replacement', 'used', 'pulled', 'matched', 'pair']);

function momentOf(view: PhaseView, { says }: ShopLanguage): Moment | undefined {
  const { quantities, waves } = says.history;
  const set = view.verdictSet;
  const readings: HeldReading[] = [];
  const byKey = new Map<string, number>();
  for (const reading of view.readings) {
    const { at, to, quantity, wave, frequency, value, special, second } = reading;
    if (reading.set.id !== set?.id || !reading.normal || !RUNNING.has(quantity)) continue;
    if (special !== undefined || second !== undefined || at === 'mains') continue;
    const key = JSON.stringify([at, to, quantity, wave, frequency?.value, value.quantity.unit]);
    const held: HeldReading = {
      key,
      at: to === undefined ? at : says.between(at, to),
      what:
        quantity === 'ripple' && wave !== undefined
          ? `${quantities.ripple}, ${waves[wave]}`
          : quantities[quantity],
      isDirect: quantity === 'voltage',
      quantity: value.quantity,
      goesWithMains: goesWithMains(reading),
    };
    // Of the same thing read twice the last counts, where the first stood.
    const known = byKey.get(key);
    if (known === undefined) byKey.set(key, readings.push(held) - 1);
    else readings[known] = held;
  }
  const parts = [...view.parts.values()].flatMap((part) => {
    const reading = findMeasured(part);
    if (reading === undefined || reading.special !== undefined || reading.phase !== view.phase) return [];
    return [{ ref: part.ref, what: quantities[reading.quantity], quantity: reading.value.quantity }];
  });
  if (readings.length === 0 && parts.length === 0) return undefined;
  return {
    phase: view.phase,
    ...(set?.mains !== undefined && { mains: set.mains.value }),
    readings,
    valves: valvesOf(view),
    parts,
  };
}

const RUNNING: ReadonlySet<string> = new Set(['voltage', 'ac-voltage', 'ripple', 'current']);

function valvesOf(view: PhaseView): readonly HeldValve[] {
  const valves = new Map<string, Partial<Record<ValveFigure, Banded>>>();
  const put = (ref: string, name: ValveFigure, number: Banded) => {
    if (view.parts.get(ref)?.class !== 'valve') return;
    valves.set(ref, { ...valves.get(ref), [name]: number });
  };
  const set = view.verdictSet?.id;
  for (const figure of view.figures) {
    // An average hides which of its valves has moved.
    if (figure.set !== set || figure.remark?.includes('average of') === true) continue;
    if (figure.figure === 'cathode-current') put(figure.subject, 'current', bandedOf(figure));
    if (figure.figure === 'anode-dissipation') put(figure.subject, 'dissipation', bandedOf(figure));
  }
  for (const { at, to, quantity, set: of, value, normal } of view.readings)
    if (of.id === set && normal && quantity === 'voltage' && to === undefined && at.endsWith('.a'))
      put(at.slice(0, -2), 'anode', value.quantity);
  const selfBiased = new Set(
    [...view.roles.values()].flatMap(({ role, serves }) => (role === 'cathode-resistor' ? serves : [])),
  );
  const apart = [...valves]
    .map(([ref, figures]): HeldValve => {
      const named = typeIn(view, ref);
      return { ref, ...(named !== undefined && { type: named }), figures, isSelfBiased: selfBiased.has(ref) };
    })
    .sort((a, b) => compareNames(a.ref, b.ref));
  return [...apart, ...sharedCurrents(view)];
}

/** What valves that share a cathode resistor pass together: the surest number where no reading tells one from the other. */
function sharedCurrents(view: PhaseView): readonly HeldValve[] {
  const set = view.verdictSet?.id;
  return view.figures.flatMap((figure): readonly HeldValve[] => {
    if (figure.figure !== 'current' || figure.set !== set) return [];
    const found = view.roles.get(figure.subject);
    if (found?.role !== 'cathode-resistor' || found.serves.length < 2) return [];
    const types = new Set(found.serves.map((ref) => typeIn(view, ref)));
    const [type] = types;
    return [
      {
        ref: [...found.serves].sort(compareNames).join(),
        ...(types.size === 1 && type !== undefined && { type }),
        figures: { current: bandedOf(figure) },
        isSelfBiased: true,
        through: figure.subject,
      },
    ];
  });
}

function typeIn({ parts }: PhaseView, ref: string): string | undefined {
  const type = parts.get(ref)?.type;
  return type?.valve?.type ?? type?.text;
}

function bandedOf({ quantity, low, high }: Figure): Banded {
  return { ...quantity, ...(low !== undefined && high !== undefined && { low, high }) };
}

/** From this share on a number has moved by more than meter and mains explain: common practice, no source. */
export const MOVED = 0.05;
/** A number that is so many times what it was has come from next to nothing: a share of that tells nothing. */
const FROM_NOTHING = 20;

/** Whether its band reaches farther to either side than what counts as moved. */
export function isWide({ value, low, high }: Banded): boolean {
  return low !== undefined && high !== undefined && high - low > 2 * MOVED * Math.abs(value);
}

/** A number when the amplifier last went back, and now. */
export interface Drift {
  readonly before: Banded;
  readonly now: Banded;
  /** The number of now as it would be at the mains of then; absent where it does not go with the mains or needs no bringing. */
  readonly brought?: Banded;
  /** Of now, brought where it is, to then; absent where then was next to nothing. */
  readonly share?: number;
  /** The readings leave so wide a band, then or now, that both may be one number. */
  readonly isWithinBand?: boolean;
}

export interface ReadingDrift extends Drift {
  readonly at: string;
  readonly what: string;
  /** Direct volts. */
  readonly isDirect: boolean;
}

export interface ValveDrift {
  readonly ref: string;
  readonly type?: string;
  /** The type that it was, where another was found. */
  readonly was?: string;
  readonly figures: Readonly<Partial<Record<ValveFigure, Drift>>>;
  readonly isSelfBiased: boolean;
  /** The cathode resistor that they share, where it is the current of several together. */
  readonly through?: string;
}

/** How the two mains stand to each other. */
export type MainsBetween = 'brought' | 'equal' | 'not-written';

/** From the last readings of one visit to the first of the next. */
export interface ReturnStep {
  readonly from: Visit;
  readonly to: Visit;
  /** Since it went back. */
  readonly months?: number;
  readonly before?: { readonly phase: Phase; readonly mains?: number };
  readonly now?: { readonly phase: Phase; readonly mains?: number };
  readonly mains: MainsBetween;
  readonly valves: readonly ValveDrift[];
  readonly readings: readonly ReadingDrift[];
  /** What was read on parts that are still the same. */
  readonly parts: readonly ReadingDrift[];
  /** The work of the earlier visit. */
  readonly changed: VisitFacts['changed'];
  /** Found otherwise than it was left: somebody else's work, or a line that was not written. */
  readonly otherwise: readonly { readonly ref: string; readonly left: string; readonly found: string }[];
}

export interface AmplifierHistory {
  /** `Larch 20`. */
  readonly model?: string;
  readonly serial?: string;
  /** In the order of time, at least two. */
  readonly visits: readonly VisitFacts[];
  readonly steps: readonly ReturnStep[];
}

export interface HistoryList {
  readonly jobs: number;
  /** Jobs with neither a serial nor a job that they return or are returned by. */
  readonly unnamed: number;
  readonly amplifiers: readonly AmplifierHistory[];
}

/** All amplifiers that came more than once; with a serial only that one. */
export function findReturns(all: readonly VisitFacts[], serial?: string): HistoryList {
  const groups = groupVisits(all);
  const wanted = serial === undefined ? undefined : normalSerial(serial);
  return {
    jobs: all.length,
    unnamed: groups.filter((group) => group.length === 1 && group[0]?.visit.serial === undefined).length,
    amplifiers: groups
      .filter((group) => group.length > 1)
      .map(historyOf)
      .filter((each) => wanted === undefined || normalSerial(each.serial ?? '') === wanted)
      .sort((a, b) => compareNames(nameOf(a), nameOf(b))),
  };
}

function nameOf({ model, serial }: AmplifierHistory): string {
  return `${model ?? ''} ${serial ?? ''}`;
}

function normalSerial(serial: string): string {
  return serial.trim().toUpperCase().replace(/\s+/g, ' ');
}

/** Visits of one model and serial, and those that say so themselves by `returns`. */
function groupVisits(all: readonly VisitFacts[]): readonly (readonly VisitFacts[])[] {
  const parent = new Map<string, string>();
  const rootOf = (key: string): string => {
    let at = key;
    for (let up = parent.get(at); up !== undefined && up !== at; up = parent.get(at)) at = up;
    return at;
  };
  const join = (one: string, other: string) => parent.set(rootOf(one), rootOf(other));
  for (const { visit, returns } of all) {
    if (visit.serial !== undefined)
      join(`file ${visit.file}`, `serial ${visit.model ?? ''} ${normalSerial(visit.serial)}`);
    if (returns !== undefined) join(`file ${visit.file}`, `file ${returns}`);
  }
  const groups = new Map<string, VisitFacts[]>();
  for (const facts of all) {
    const root = rootOf(`file ${facts.visit.file}`);
    const own = groups.get(root);
    if (own === undefined) groups.set(root, [facts]);
    else own.push(facts);
  }
  return [...groups.values()].map((group) => group.sort((a, b) => compareVisits(a.visit, b.visit)));
}

function historyOf(visits: readonly VisitFacts[]): AmplifierHistory {
  const last = visits.at(-1)?.visit;
  const serial = visits.findLast(({ visit }) => visit.serial !== undefined)?.visit.serial;
  return {
    ...(last?.model !== undefined && { model: last.model }),
    ...(serial !== undefined && { serial }),
    visits,
    steps: visits.flatMap((from, i) => {
      const to = visits[i + 1];
      return to === undefined ? [] : [stepBetween(from, to)];
    }),
  };
}

function stepBetween(from: VisitFacts, to: VisitFacts): ReturnStep {
  const isRead = ({ readings }: Moment) => readings.length > 0;
  const then =
    from.moments.findLast((moment) => moment.phase === 'as-left' && isRead(moment)) ??
    from.moments.findLast(isRead);
  const now =
    to.moments.find((moment) => moment.phase === 'as-found' && isRead(moment)) ?? to.moments.find(isRead);
  const months = monthsBetween(
    from.visit.returned ?? from.visit.received,
    to.visit.received ?? to.visit.returned,
  );
  const factor = mainsFactor(then?.mains, now?.mains);
  const mains: MainsBetween =
    then?.mains === undefined || now?.mains === undefined
      ? 'not-written'
      : factor === undefined
        ? 'equal'
        : 'brought';
  const later = new Map((now?.readings ?? []).map((reading) => [reading.key, reading]));
  const moment = (of: Moment | undefined) =>
    of && { phase: of.phase, ...(of.mains !== undefined && { mains: of.mains }) };
  const [one, other] = [moment(then), moment(now)];
  return {
    from: from.visit,
    to: to.visit,
    ...(months !== undefined && { months }),
    ...(one && { before: one }),
    ...(other && { now: other }),
    mains,
    valves: valveDrifts(then, now, factor),
    readings: (then?.readings ?? []).flatMap((reading) => {
      const again = later.get(reading.key);
      if (again === undefined) return [];
      const by = reading.goesWithMains ? factor : undefined;
      const { at, what, isDirect } = reading;
      return [{ at, what, isDirect, ...driftOf(reading.quantity, again.quantity, by) }];
    }),
    parts: partDrifts(from, to),
    changed: from.changed,
    otherwise: Object.entries(to.found).flatMap(([ref, found]) => {
      const left = from.left[ref];
      return left === undefined || left === found ? [] : [{ ref, left, found }];
    }),
  };
}

function driftOf(before: Banded, now: Banded, factor: number | undefined): Drift {
  const brought = factor === undefined ? undefined : scaled(now, factor);
  const after = brought ?? now;
  const share = (after.value - before.value) / Math.abs(before.value);
  const isWithinBand =
    [before, after].some(isWide) &&
    (before.low ?? before.value) <= (after.high ?? after.value) &&
    (after.low ?? after.value) <= (before.high ?? before.value);
  return {
    before,
    now,
    ...(brought !== undefined && Number.isFinite(brought.value) && { brought }),
    ...(Math.abs(share) <= FROM_NOTHING && { share }),
    ...(isWithinBand && { isWithinBand }),
  };
}

function scaled({ low, high, ...quantity }: Banded, by: number): Banded {
  const scale = { ...quantity, value: quantity.value * by };
  return low === undefined || high === undefined ? scale : { ...scale, low: low * by, high: high * by };
}

/** With a cathode resistor current goes about with the mains, and watts with its square; with fixed bias nothing here says how. */
const POWERS: Readonly<Record<ValveFigure, number>> = { current: 1, dissipation: 2, anode: 1 };

function valveDrifts(
  then: Moment | undefined,
  now: Moment | undefined,
  factor: number | undefined,
): readonly ValveDrift[] {
  const later = new Map((now?.valves ?? []).map((valve) => [valve.ref, valve]));
  return (then?.valves ?? []).flatMap((valve): readonly ValveDrift[] => {
    const again = later.get(valve.ref);
    if (again === undefined) return [];
    const isSelfBiased = valve.isSelfBiased && again.isSelfBiased;
    const figures: Partial<Record<ValveFigure, Drift>> = {};
    for (const name of VALVE_FIGURES) {
      const [one, other] = [valve.figures[name], again.figures[name]];
      if (one === undefined || other === undefined) continue;
      const isBrought = factor !== undefined && (name === 'anode' || isSelfBiased);
      figures[name] = driftOf(one, other, isBrought ? factor ** POWERS[name] : undefined);
    }
    if (Object.keys(figures).length === 0) return [];
    return [
      {
        ref: valve.ref,
        ...(again.type !== undefined && { type: again.type }),
        ...(valve.type !== undefined && valve.type !== again.type && { was: valve.type }),
        figures,
        isSelfBiased,
        ...(again.through !== undefined && { through: again.through }),
      },
    ];
  });
}

/** The last that was read on each part, unless it was changed after that, beside what is read on it now. */
function partDrifts(from: VisitFacts, to: VisitFacts): readonly ReadingDrift[] {
  const changed = new Set(from.changed.map(({ ref }) => ref));
  const last = new Map<string, { readonly quantity: Quantity; readonly what: string }>();
  for (const { phase, parts } of from.moments)
    for (const { ref, what, quantity } of parts)
      if (phase === 'as-left' || !changed.has(ref)) last.set(`${ref} ${what}`, { quantity, what });
  const found = to.moments.find(({ phase }) => phase === 'as-found')?.parts ?? [];
  return found.flatMap(({ ref, what, quantity }) => {
    const before = last.get(`${ref} ${what}`);
    if (before === undefined || before.quantity.unit !== quantity.unit) return [];
    return [{ at: ref, what, isDirect: false, ...driftOf(before.quantity, quantity, undefined) }];
  });
}
