/**
 * Owns which cautions stand on a page and in what order: first those that this amplifier and this job give reason for,
 * each with that reason, then those that always hold. It never says that a thing may be touched.
 */
import type { BenchReading, FittedPart } from '../bench/model.ts';
import { compareNames } from '../bench/points.ts';
import { isEarthReading } from '../rules/mains-safety.ts';
import { isMainsSide } from '../rules/mains-side.ts';
import { aside, type Block, listOf, paragraph, strong } from './document.ts';
import { roleOf } from './part-words.ts';
import { readingText } from './readings.ts';
import type { Telling } from './telling.ts';
import type { CautionId } from './words.ts';

export interface Caution {
  readonly id: CautionId;
  readonly text: string;
  /** Why it applies here; absent where it only holds as always. */
  readonly because?: string;
}

/** DC volts above which a point is high tension: IEC 62368-1 calls up to 60 V DC energy source class 1 (from memory, unverified). */
const HAZARDOUS_VOLTS = 60;
const OLD_KINDS: ReadonlySet<string> = new Set(['paper', 'selenium', 'pio', 'oil', 'wax', 'asbestos']);
/** More refs than this are counted, not listed. */
const MOST_LISTED = 6;

/** All cautions, those with a reason first; within each, in the order of the table of words. The law stands last and always. */
function cautionsOf(telling: Telling): readonly Caution[] {
  const reasons = reasonsOf(telling);
  const all = (Object.keys(telling.words.cautions) as CautionId[])
    .filter((id) => id !== 'law')
    .map((id): Caution => {
      const because = reasons[id];
      return { id, text: telling.words.cautions[id], ...(because === undefined ? {} : { because }) };
    });
  return [
    ...all.filter(({ because }) => because !== undefined),
    ...all.filter(({ because }) => because === undefined),
  ];
}

export function cautionBlocks(telling: Telling): readonly Block[] {
  const { bench: w, cautions } = telling.words;
  const all = cautionsOf(telling);
  const here = all.filter(({ because }) => because !== undefined);
  const always = all.filter(({ because }) => because === undefined);
  const list = (some: readonly Caution[]): Block =>
    listOf(
      some.map(({ text, because }) => ({
        text: because === undefined ? text : [text, ' ', aside('because', because)],
      })),
      'cautions',
    );
  const law = paragraph(strong(cautions.law));
  if (here.length === 0) return [list(always), law];
  return [
    { kind: 'heading', text: w.cautionsHere },
    list(here),
    { kind: 'heading', text: w.cautionsAlways },
    list(always),
    law,
  ];
}

/** Whether the sheet tells of an amplifier with high tension in it. */
export function hasHighTension(telling: Telling): boolean {
  return reasonsOf(telling).ht !== undefined;
}

function reasonsOf(telling: Telling): Partial<Record<CautionId, string>> {
  const { amplifier, numbers, words } = telling;
  const { phases, changes } = amplifier;
  const because = words.cautionReasons;
  const parts = [...(phases.at(-1)?.parts.values() ?? [])];
  const [drawn, read] = [true, false].map((isDrawn) =>
    highestVolts(
      phases.flatMap(({ phase, readings }) => ((phase === 'factory') === isDrawn ? readings : [])),
    ),
  );
  const highest = read ?? drawn;
  const isLive = highest !== undefined || parts.some((part) => part.class === 'valve');
  const done = changes.filter(({ planned }) => !planned);
  const touched = done.flatMap(({ is, was }) => {
    const part = is ?? was;
    return part === undefined ? [] : [part];
  });
  const refsWhere = (some: readonly FittedPart[], holds: (part: FittedPart) => boolean) =>
    listRefs(some.filter(holds), because.and);

  const electrolytics = refsWhere(
    parts,
    (part) => part.class === 'capacitor' && ['reservoir', 'smoothing'].includes(roleOf(phases, part.ref)),
  );
  const standby = refsWhere(
    parts,
    (part) => ['standby', 'bias-supply'].includes(roleOf(phases, part.ref)) || part.kinds.includes('standby'),
  );
  const outputs = refsWhere(
    parts,
    (part) => part.class === 'loudspeaker' || roleOf(phases, part.ref) === 'output-transformer',
  );
  const fuses = refsWhere(parts, (part) => part.class === 'fuse');
  const mainsSide = refsWhere(touched, (part) => isMainsSide(part, roleOf(phases, part.ref)));
  const old = refsWhere([...parts, ...touched], (part) => part.kinds.some((kind) => OLD_KINDS.has(kind)));
  const earth = phases.flatMap(({ readings }) => readings).findLast(isEarthReading);

  const reasons: Partial<Record<CautionId, string>> = {};
  if (highest !== undefined)
    reasons.ht = (read === undefined ? because.drawn : because.volts)(
      highest.at,
      numbers.known(highest.value),
    );
  else if (isLive) reasons.ht = because.rails;
  if (electrolytics !== undefined) reasons.discharge = because.electrolytics(electrolytics);
  else if (isLive) reasons.discharge = reasons.ht ?? '';
  if (standby !== undefined) reasons.recovery = because.standby(standby);
  if (done.length > 0) reasons.power = because.changed;
  if (outputs !== undefined) reasons.load = because.output(outputs);
  if (fuses !== undefined) reasons.fuse = because.fuses(fuses);
  if (mainsSide !== undefined) reasons.mains = because.mains(mainsSide);
  if (amplifier.sheet.kind === 'job')
    reasons.earth =
      earth === undefined ? because.earthUnread : because.earthRead(readingText(telling, earth));
  if (old !== undefined) reasons.old = because.old(old);
  return reasons;
}

function highestVolts(readings: readonly BenchReading[]): BenchReading | undefined {
  return readings
    .filter(
      ({ quantity, value }) => quantity === 'voltage' && Math.abs(value.quantity.value) > HAZARDOUS_VOLTS,
    )
    .reduce<BenchReading | undefined>(
      (worst, each) =>
        worst === undefined || Math.abs(each.value.quantity.value) > Math.abs(worst.value.quantity.value)
          ? each
          : worst,
      undefined,
    );
}

function listRefs(parts: readonly FittedPart[], and: (count: number) => string): string | undefined {
  const refs = [...new Set(parts.map(({ ref }) => ref))].sort(compareNames);
  if (refs.length === 0) return undefined;
  const listed = refs.slice(0, MOST_LISTED).join(', ');
  return refs.length > MOST_LISTED ? `${listed} ${and(refs.length - MOST_LISTED)}` : listed;
}
