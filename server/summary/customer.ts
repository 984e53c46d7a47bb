/**
 * Owns what goes to the owner of the amplifier. Of the sheet's prose only the Owner text goes out, word for word; all else
 * is put in plain words from parts, tasks and the fact that something was measured. No volts and no findings leave here but
 * the before/after picture, and that only where it is asked for.
 */
import type { BenchReading, FittedPart, PartChange, PhaseView } from '../bench/model.ts';
import type { Passage, Tag } from '../dialect/tree.ts';
import { isEarthReading } from '../rules/mains-safety.ts';
import type { Sheet, Topic } from '../sheet/model.ts';
import { contains, type Span } from '../text/span.ts';
import { beforeAfterBlocks } from './before-after.ts';
import { changeRows, isLeft } from './changes.ts';
import {
  aside,
  type Block,
  listOf,
  paragraph,
  type SummaryDocument,
  sectionOf,
  strong,
  type Text,
} from './document.ts';
import { languages } from './languages.ts';
import { describeForOwner, plainPart } from './part-words.ts';
import type { PlainPart } from './plain-part.ts';
import { type ToldSection, topicSections, topicSpans, withHeading } from './prose.ts';
import type { Telling } from './telling.ts';

export function customerDocument(telling: Telling, withReadings: boolean): SummaryDocument {
  const { words, sheet } = telling;
  const { customer: w } = words;
  const whole = {
    language: words.language,
    reader: 'customer',
    title: customerTitle(telling),
    kind: w.title,
    facts: factsOf(telling, HEAD_FACTS),
  } as const;
  if (sheet.kind !== 'job') return { ...whole, opening: [paragraph(w.notAJob)], sections: [] };
  // What a kind of part does is told once, where it is first named: the pieces are made in the order they are read.
  const glosses = createGlosses(telling);
  const owner = ownerText(telling);
  const costs = factsOf(telling, COST_FACTS);
  return {
    ...whole,
    opening: [],
    sections: [
      ...sectionOf(w.told, [...owner.told, ...askedBlocks(telling, glosses)]),
      ...sectionOf(w.did, quoted(owner.did)),
      ...sectionOf(w.known, [...owner.known, ...knownBlocks(telling, glosses)]),
      ...sectionOf(w.parts, partBlocks(telling, glosses)),
      ...sectionOf(w.checks, [...owner.checks, ...checkBlocks(telling)]),
      ...sectionOf(w.readings.title, withReadings ? beforeAfterBlocks(telling) : []),
      ...sectionOf(w.left, [...owner.left, ...leftBlocks(telling, glosses)]),
      ...sectionOf(w.next, [...owner.next, ...nextBlocks(telling, glosses)]),
      ...sectionOf(w.cost, [
        ...owner.cost,
        ...(costs.length === 0
          ? []
          : [listOf(costs.map(([name, text]) => ({ text: [strong(`${name}:`), ' ', text] })))]),
      ]),
      ...sectionOf(w.advice, [listOf(Object.values(w.advices)), paragraph(w.certifies)]),
    ],
  };
}

function quoted(blocks: readonly Block[]): readonly Block[] {
  return blocks.length === 0 ? [] : [{ kind: 'quoted', blocks }];
}

type OwnerPart = 'told' | 'did' | 'known' | 'checks' | 'left' | 'next' | 'cost';

/**
 * The Owner text by what it tells: a deeper heading in it that is one of the report's own, in any language, puts its text
 * there. All else stays together in the order written.
 */
function ownerText(telling: Telling): Readonly<Record<OwnerPart, readonly Block[]>> {
  const parts: Record<OwnerPart, Block[]> = {
    told: [],
    did: [],
    known: [],
    checks: [],
    left: [],
    next: [],
    cost: [],
  };
  for (const section of topicSections(telling, 'owner')) {
    const own = ownerPartOf(section);
    if (own === undefined) parts.did.push(...withHeading(section));
    else parts[own].push(...section.blocks);
  }
  return parts;
}

function ownerPartOf({ heading }: ToldSection): OwnerPart | undefined {
  if (heading === undefined) return undefined;
  const written = heading.trim().toLowerCase();
  for (const { customer } of Object.values(languages)) {
    const known = (['told', 'did', 'known', 'checks', 'left', 'next', 'cost'] as const).find(
      (each) => customer[each].toLowerCase() === written,
    );
    if (known !== undefined) return known;
  }
  return undefined;
}

/** What a customer is told at the head; the sheet's own heading may be a note to ourselves and stays in. */
function customerTitle({ sheet, analysis, words }: Telling): string {
  return (
    sheet.field('title')?.text ??
    sheet.field('model')?.text ??
    analysis.chassis?.field('model')?.text ??
    words.customer.yourAmplifier
  );
}

const HEAD_FACTS = ['job', 'serial', 'received', 'returned', 'hours'] as const;
const COST_FACTS = ['charge', 'warranty'] as const;

function factsOf(
  { sheet, words }: Telling,
  keys: readonly (keyof Telling['words']['fields'])[],
): readonly (readonly [string, string])[] {
  return keys.flatMap((key) => {
    const text = sheet.field(key)?.text;
    return text === undefined || text.trim() === '' ? [] : [[words.fields[key], text] as const];
  });
}

/** What the owner asked to be kept; the reason is a note to ourselves. */
function askedBlocks({ sheet, words }: Telling, glosses: Glosses): readonly Block[] {
  const refs = [...new Set(sheet.keeps.map(({ ref }) => ref.name))];
  return refs.length === 0 ? [] : [paragraph(`${words.customer.asked} ${refs.map(glosses.say).join(', ')}.`)];
}

function partBlocks(telling: Telling, glosses: Glosses): readonly Block[] {
  const { words, places } = telling;
  const { customer: w } = words;
  /** Construction is told only where it is what changed: paper to film. */
  const describe = (part: FittedPart, { was, is }: PartChange): string | undefined => {
    const [before, after] = [was?.kinds ?? [], is?.kinds ?? []];
    const differs = before.length > 0 && after.length > 0 && before.join() !== after.join();
    return describeForOwner(part, differs, telling);
  };
  const rows = changeRows(telling, false, describe).filter((row) => !isPassive(row.change) && !isLeft(row));
  if (rows.length === 0) return [];
  return [
    paragraph(w.partsIntro, 'small'),
    {
      kind: 'table',
      caption: w.parts,
      isCaptionUnseen: true,
      columns: [{ head: w.part }, { head: w.was }, { head: w.is }],
      rows: rows.map(({ ref, was, is, change }) => {
        const { name, does } = glosses.nameOf(ref, change.is ?? change.was);
        const named: Text = [`${name} ${ref}`, does === '' ? undefined : [' ', aside('gloss', does)]];
        const same = change.is?.type === undefined ? w.sameValues : w.sameType;
        return { cells: [named, was, strong(is === was ? same : is)], line: places.line(change.source) };
      }),
      hasRowHeads: true,
    },
  ];
}

/** A change of wiring alone has no value to tell. */
function isPassive({ was, is, work }: PartChange): boolean {
  return work === undefined && was === undefined && is === undefined;
}

function viewOf({ amplifier }: Telling, phase: PhaseView['phase']): PhaseView | undefined {
  return amplifier.phases.find((view) => view.phase === phase);
}

function hasVolts(view: PhaseView | undefined): boolean {
  return (
    view?.readings.some(({ set, quantity }) => set.id === view.verdictSet?.id && quantity === 'voltage') ===
    true
  );
}

/** What was measured before the work: how we know what we found. */
function knownBlocks(telling: Telling, glosses: Glosses): readonly Block[] {
  const { sheet, words, amplifier } = telling;
  const { customer: w } = words;
  const found = viewOf(telling, 'as-found');
  const limited = found?.readings.filter(({ set }) => set.limited) ?? [];
  const limits = new Set(limited.flatMap(({ set }) => set.conditions.map(({ kind }) => kind)));
  const measured = measuredParts(amplifier.phases, sheet).map(glosses.say);
  const said = [
    ...(hasVolts(found) ? [w.measuredBefore] : []),
    ...(limits.has('lamp') ? [w.lamp] : []),
    ...(limits.has('variac') ? [w.reduced] : []),
    ...(measured.length === 0 ? [] : [`${w.measuredParts} ${measured.join(', ')}.`]),
  ];
  return said.length === 0 ? [] : [listOf(said)];
}

/** What was measured after it. */
function checkBlocks(telling: Telling): readonly Block[] {
  const { words, numbers, amplifier } = telling;
  const { customer: w } = words;
  const { phases } = amplifier;
  const [found, left] = [viewOf(telling, 'as-found'), viewOf(telling, 'as-left')];
  const isMeasured = hasVolts(left);
  const conditions = (isMeasured ? left?.verdictSet?.conditions : undefined) ?? [];
  const minutes = conditions.find(({ kind, value }) => kind === 'warm-up' && value !== undefined)?.value;
  const both = (holds: (reading: BenchReading) => boolean): boolean =>
    [found, left].every((view) => view?.readings.some(holds) === true);
  const said = [
    ...(isMeasured ? [w.measuredAfter] : []),
    ...(conditions.some(({ kind }) => kind === 'dummy-load')
      ? [w.onLoad]
      : conditions.some(({ kind }) => kind === 'speaker')
        ? [w.onSpeaker]
        : []),
    ...(minutes === undefined ? [] : [w.warm(numbers.say(minutes))]),
    ...(both(({ quantity }) => quantity === 'ripple') ? [w.ripple] : []),
    ...(both(({ at, quantity }) => quantity === 'ac-voltage' && isLoudspeaker(phases, at)) ? [w.output] : []),
    ...(both(isEarthReading)
      ? [w.earthBoth]
      : left?.readings.some(isEarthReading) === true
        ? [w.earthAfter]
        : []),
  ];
  return said.length === 0 ? [paragraph(w.checksNone)] : [listOf(said)];
}

function isLoudspeaker(phases: readonly PhaseView[], ref: string): boolean {
  return phases.some(({ parts }) => parts.get(ref)?.class === 'loudspeaker');
}

/** Parts that were measured by themselves on this job, in the order of the sheet. */
function measuredParts(phases: readonly PhaseView[], { uri }: Sheet): readonly string[] {
  const refs = phases.flatMap(({ readings, parts }) =>
    readings
      .filter(({ at, to, source }) => to === undefined && source.file === uri && parts.has(at))
      .filter(({ quantity }) => PART_MEASUREMENTS.has(quantity))
      .map(({ at }) => at),
  );
  return [...new Set(refs)];
}

const PART_MEASUREMENTS: ReadonlySet<BenchReading['quantity']> = new Set([
  'resistance',
  'capacitance',
  'inductance',
  'esr',
  'insulation',
  'leakage',
]);

interface Glosses {
  /** A part's plain name; what it does only the first time that the name falls. */
  readonly nameOf: (ref: string, part?: FittedPart) => PlainPart;
  /** `smoothing capacitor C12 (takes the rest of the hum out of the supply to a stage)` */
  readonly say: (ref: string) => string;
}

function createGlosses(telling: Telling): Glosses {
  const told = new Set<string>();
  const nameOf = (ref: string, part?: FittedPart): PlainPart => {
    const { name, does } = plainPart(telling, ref, part);
    if (told.has(name)) return { name, does: '' };
    told.add(name);
    return { name, does };
  };
  return {
    nameOf,
    say: (ref) => {
      const { name, does } = nameOf(ref);
      return does === '' ? `${name} ${ref}` : `${name} ${ref} (${does})`;
    },
  };
}

function leftBlocks(telling: Telling, glosses: Glosses): readonly Block[] {
  const { sheet, words } = telling;
  const { customer: w } = words;
  const declined = subjectsUnder(sheet, 'declined');
  const left = [
    ...changeRows(telling, false)
      .filter(isLeft)
      .map(({ ref }) => ref),
    ...subjectsUnder(sheet, 'left-alone'),
  ].filter((ref) => !declined.includes(ref));
  return namedLists(glosses, [
    [w.leftAlone, [...new Set(left)]],
    [w.declined, declined],
  ]);
}

function nextBlocks({ amplifier, sheet, words }: Telling, glosses: Glosses): readonly Block[] {
  const { customer: w } = words;
  const planned = [...new Set(amplifier.changes.filter((change) => change.planned).map(({ ref }) => ref))];
  return namedLists(glosses, [
    [w.planned, planned],
    [w.nextTime, subjectsUnder(sheet, 'next-time').filter((ref) => !planned.includes(ref))],
  ]);
}

function namedLists(
  glosses: Glosses,
  lists: readonly (readonly [head: string, refs: readonly string[]])[],
): readonly Block[] {
  const items = lists
    .filter(([, refs]) => refs.length > 0)
    .map(([head, refs]) => `${head} ${refs.map(glosses.say).join(', ')}.`);
  return items.length === 0 ? [] : [listOf(items)];
}

/**
 * Parts named under a heading in a way that is no prose: with a state, in a task, or alone in a line. What the writer put
 * in a sentence stays in the sentence, and the sentence stays with us.
 */
function subjectsUnder(sheet: Sheet, topic: Topic): readonly string[] {
  const spans = topicSpans(sheet, topic);
  const isUnder = (span: Span): boolean => spans.some((each) => contains(each, span));
  const refs = sheet.note.blocks.flatMap((block) =>
    block.kind === 'passage' && isUnder(block.span) ? subjectsIn(sheet, block) : [],
  );
  return [...new Set(refs)];
}

function subjectsIn(sheet: Sheet, { task, tags, prose }: Passage): readonly string[] {
  const text = prose.map(({ start, end }) => sheet.snapshot.text.slice(start, end)).join('');
  const isAlone = /^(?:[\s,;.&]|and|or|und|oder)*$/i.test(text);
  return tags.filter((tag) => tag.kind === 'state' || task !== undefined || isAlone).flatMap(refsOf);
}

function refsOf(tag: Tag): readonly string[] {
  switch (tag.kind) {
    case 'mention':
      return tag.points.flatMap((point) =>
        point.kind === 'ref' ? [point.name] : point.kind === 'terminal' ? [point.ref.name] : [],
      );
    case 'state':
      return tag.subjects.flatMap((subject) => (subject.kind === 'ref' ? [subject.name] : []));
    case 'fitted':
    case 'change':
      return tag.refs.map(({ name }) => name);
    default:
      return [];
  }
}
