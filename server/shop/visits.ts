/** Owns what tells one visit from another: the job, its amplifier's model and serial, and its dates as they were written. */
import type { Sheet } from '../sheet/model.ts';
import type { Analysis } from './shop.ts';
import type { ShopLanguage } from './shop-words.ts';
import { fileName } from './uris.ts';

/** One visit of one amplifier, all plain data. */
export interface Visit {
  /** The job sheet's path as it is shown. */
  readonly file: string;
  readonly job?: string;
  readonly title: string;
  /** `Larch 20, revision b`, of the chassis sheet, else of the job itself. */
  readonly chassis?: string;
  readonly model?: string;
  readonly serial?: string;
  /** Days or months, ISO; absent where they are written otherwise. */
  readonly received?: string;
  readonly returned?: string;
  /** Whether the amplifier has not gone back. */
  readonly isOpen: boolean;
}

/** The visit that a job sheet tells of; undefined of any other sheet. `path` is how the sheet is shown. */
export function visitOf(
  { sheet, chassis }: Pick<Analysis, 'sheet' | 'chassis'>,
  path: string,
  { says }: ShopLanguage,
): Visit | undefined {
  if (sheet.kind !== 'job') return undefined;
  const [job, serial, received, returned] = ['job', 'serial', 'received', 'returned'].map((key) =>
    fieldOf(sheet, key),
  );
  const model = (chassis && fieldOf(chassis, 'model')) ?? fieldOf(sheet, 'model');
  const named = chassisName(chassis ?? sheet, says);
  const [came, went] = [isoDate(received), isoDate(returned)];
  return {
    file: path,
    ...(job !== undefined && { job }),
    title: sheet.title.trim(),
    ...(named !== undefined && { chassis: named }),
    ...(model !== undefined && { model }),
    ...(serial !== undefined && { serial }),
    ...(came !== undefined && { received: came }),
    ...(went !== undefined && { returned: went }),
    isOpen: returned === undefined,
  };
}

export function fieldOf(sheet: Sheet, key: string): string | undefined {
  return sheet.field(key)?.text.trim() || undefined;
}

function chassisName(sheet: Sheet, says: ShopLanguage['says']): string | undefined {
  const model = fieldOf(sheet, 'model');
  if (model === undefined)
    return sheet.kind === 'chassis' ? sheet.title.trim() || fileName(sheet.uri) : undefined;
  const revision = fieldOf(sheet, 'revision');
  return revision === undefined ? model : says.revision(model, revision);
}

function isoDate(written: string | undefined): string | undefined {
  return written !== undefined && /^\d{4}-\d{2}(?:-\d{2})?$/.test(written) ? written : undefined;
}

/** Earlier visits first; those without a date last, by their paths. */
export function compareVisits(one: Visit, other: Visit): number {
  return (
    compareText(one.received ?? one.returned ?? '9', other.received ?? other.returned ?? '9') ||
    compareText(one.returned ?? '9', other.returned ?? '9') ||
    compareText(one.file, other.file)
  );
}

/** By the letters themselves, the same on every machine. */
export function compareText(one: string, other: string): number {
  return one < other ? -1 : one > other ? 1 : 0;
}

/** `job 2041`, else the file's name. */
export function nameOfVisit({ job, file }: Visit, { says }: ShopLanguage): string {
  return job === undefined ? file.slice(file.lastIndexOf('/') + 1) : says.job(job);
}

/** Whole months from one ISO date to another, the day counted where both have one; undefined where one is missing. */
export function monthsBetween(from: string | undefined, to: string | undefined): number | undefined {
  const [one, other] = [from, to].map((date) =>
    /^(\d{4})-(\d{2})(?:-(\d{2}))?$/
      .exec(date ?? '')
      ?.slice(1)
      .map(Number),
  );
  if (one === undefined || other === undefined) return undefined;
  const [year = 0, month = 0, day] = one;
  const [laterYear = 0, laterMonth = 0, laterDay] = other;
  const months = (laterYear - year) * 12 + laterMonth - month;
  const isShort = Number.isFinite(day) && Number.isFinite(laterDay) && (laterDay ?? 0) < (day ?? 0);
  return isShort ? months - 1 : months;
}
