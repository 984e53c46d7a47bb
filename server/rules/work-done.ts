/** Owns what counts as work done on a job: changes that were made here, and whether the amplifier went back. */
import type { Amplifier, FittedPart, PartChange } from '../bench/model.ts';
import type { Sheet } from '../sheet/model.ts';

/** Whether the amplifier has gone back: until then what is not written may still be written. */
export function isReturned(sheet: Sheet): boolean {
  return sheet.kind === 'job' && (sheet.field('returned')?.text ?? '').trim() !== '';
}

/** Changes made on this sheet, those that are only planned and parts that stayed left out. */
export function workDone({ changes, sheet }: Amplifier): readonly PartChange[] {
  if (sheet.kind !== 'job') return [];
  return changes.filter(
    ({ planned, work, source }) => !planned && work !== 'same' && source.file === sheet.uri,
  );
}

/** The part that a change is about: as it is now, else as it was, else as any phase has it. */
export function partOf({ is, was, ref }: PartChange, { phases }: Amplifier): FittedPart | undefined {
  const placed = phases.flatMap(({ parts }) => parts.get(ref) ?? []).at(-1);
  return is ?? was ?? placed;
}
