/** Owns how the tests of this layer write a sheet down and read figures back: text in, one line a figure out. */
import type { Amplifier, Figure, PhaseView } from '../../server/bench/model.ts';
import { resolveAmplifier } from '../../server/bench/resolve.ts';
import { builtInCatalogue } from '../../server/catalogue/find-valve.ts';
import { createReader } from '../../server/dialect/note.ts';
import type { Phase, Sheet } from '../../server/sheet/model.ts';
import { readSheet } from '../../server/sheet/read.ts';
import { createSnapshot } from '../../server/text/snapshot.ts';

export function sheetOf(text: string, uri = 'file:///shop/job.tagstrip.md'): Sheet {
  return readSheet(createReader().readNote(createSnapshot(uri, text)));
}

export function amplifierOf(job: string, chassis?: string): Amplifier {
  const under = chassis === undefined ? undefined : sheetOf(chassis, 'file:///shop/chassis.tagstrip.md');
  return resolveAmplifier(sheetOf(job), under, builtInCatalogue);
}

/** A job sheet of as-found lines alone. */
export function asFound(...lines: readonly string[]): PhaseView {
  return viewOf(
    amplifierOf(`# Job\n\n## As found\n\n${lines.map((line) => `- ${line}`).join('\n')}\n`),
    'as-found',
  );
}

export function viewOf(amplifier: Amplifier, phase: Phase): PhaseView {
  const view = amplifier.phases.find((each) => each.phase === phase);
  if (view === undefined) throw new Error(`the sheet has no phase ${phase}`);
  return view;
}

/** The figure of a subject in the verdict set, or among those without readings. */
export function findFigure(view: PhaseView, subject: string, name: Figure['figure']): Figure | undefined {
  return view.figures.find(
    ({ subject: of, figure, set }) =>
      of === subject && figure === name && (set === 0 || set === view.verdictSet?.id),
  );
}

/** Its value; NaN where there is none, so that a comparison fails and says so. */
export function figureOf(view: PhaseView, subject: string, name: Figure['figure']): number {
  return findFigure(view, subject, name)?.quantity.value ?? Number.NaN;
}

/** `V5 anode-dissipation 11.9 W (11.5 to 12.3) assumed`, in the order of the figures. */
export function linesOf(view: PhaseView, ...subjects: readonly string[]): readonly string[] {
  return view.figures
    .filter(({ subject }) => subjects.length === 0 || subjects.includes(subject))
    .map(lineOf);
}

export function lineOf({ subject, figure, quantity, low, high, basis }: Figure): string {
  const band = low === undefined || high === undefined ? '' : ` (${three(low)} to ${three(high)})`;
  return `${subject} ${figure} ${three(quantity.value)} ${quantity.unit}${band} ${basis}`;
}

function three(value: number): string {
  return String(Number(value.toPrecision(3)));
}
