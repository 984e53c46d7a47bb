/**
 * Owns which cautions stand on a page and in what order: first those that this amplifier and this job give reason for,
 * each with that reason, then those that always hold. It never says that a thing may be touched.
 */
import type { Amplifier, BenchReading, FittedPart } from '../bench/model.ts';
import { isEarthReading } from '../rules/mains-safety.ts';
import { isMainsSide } from '../rules/mains-side.ts';
import { show } from '../rules/phrases.ts';
import { type Html, html } from './escape.ts';
import { roleOf } from './part-words.ts';
import { readingText } from './readings.ts';
import { type CautionId, cautionReasons, cautionWords, words } from './words.ts';

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

/** All cautions, those with a reason first; within each, in the order of the table of words. */
export function cautionsOf(amplifier: Amplifier): readonly Caution[] {
  const reasons = reasonsOf(amplifier);
  const all = (Object.keys(cautionWords) as CautionId[]).map((id): Caution => {
    const because = reasons[id];
    return { id, text: cautionWords[id], ...(because === undefined ? {} : { because }) };
  });
  return [
    ...all.filter(({ because }) => because !== undefined),
    ...all.filter(({ because }) => because === undefined),
  ];
}

export function cautionsHtml(amplifier: Amplifier): Html {
  const all = cautionsOf(amplifier);
  const here = all.filter(({ because }) => because !== undefined);
  const always = all.filter(({ because }) => because === undefined);
  const list = (cautions: readonly Caution[]): Html =>
    html`<ul class="cautions">${cautions.map(
      ({ text, because }) =>
        html`<li>${text}${because === undefined ? undefined : html` <span class="because">${because}</span>`}</li>`,
    )}</ul>`;
  if (here.length === 0) return list(always);
  return html`<h3>${words.bench.cautionsHere}</h3>${list(here)}<h3>${words.bench.cautionsAlways}</h3>${list(always)}`;
}

/** Whether the sheet tells of an amplifier with high tension in it. */
export function hasReason(amplifier: Amplifier): boolean {
  return reasonsOf(amplifier).ht !== undefined;
}

function reasonsOf(amplifier: Amplifier): Partial<Record<CautionId, string>> {
  const { phases, changes } = amplifier;
  const parts = [...(phases.at(-1)?.parts.values() ?? [])];
  const highest = highestVolts(phases.flatMap(({ readings }) => readings));
  const hasHighTension = highest !== undefined || parts.some((part) => part.class === 'valve');
  const done = changes.filter(({ planned }) => !planned);
  const touched = done.flatMap(({ is, was }) => {
    const part = is ?? was;
    return part === undefined ? [] : [part];
  });

  const electrolytics = refsWhere(
    parts,
    (part) => part.class === 'capacitor' && ['reservoir', 'smoothing'].includes(roleOf(phases, part.ref)),
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
  if (highest !== undefined) reasons.ht = cautionReasons.volts(highest.at, show(highest.value.quantity));
  else if (hasHighTension) reasons.ht = cautionReasons.rails;
  if (electrolytics !== undefined) reasons.discharge = cautionReasons.electrolytics(electrolytics);
  else if (hasHighTension) reasons.discharge = reasons.ht ?? '';
  if (done.length > 0) reasons.power = cautionReasons.changed;
  if (outputs !== undefined) reasons.load = cautionReasons.output(outputs);
  if (fuses !== undefined) reasons.fuse = cautionReasons.fuses(fuses);
  if (mainsSide !== undefined) reasons.mains = cautionReasons.mains(mainsSide);
  if (amplifier.sheet.kind === 'job')
    reasons.earth =
      earth === undefined ? cautionReasons.earthUnread : cautionReasons.earthRead(readingText(earth));
  if (old !== undefined) reasons.old = cautionReasons.old(old);
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

function refsWhere(parts: readonly FittedPart[], holds: (part: FittedPart) => boolean): string | undefined {
  const refs = [...new Set(parts.filter(holds).map(({ ref }) => ref))];
  if (refs.length === 0) return undefined;
  const listed = refs.slice(0, MOST_LISTED).join(', ');
  return refs.length > MOST_LISTED ? `${listed} ${cautionReasons.and(refs.length - MOST_LISTED)}` : listed;
}
