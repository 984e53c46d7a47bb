/** Owns the rule grid-floating: a grid that nothing ties to a direct voltage. */
import type { FittedPart, PhaseView } from '../bench/model.ts';
import { followDirect, isTiedStraight } from './direct-path.ts';
import { defineRule, type Report, type RuleContext } from './rule.ts';
import { amplifyingValves } from './valve-circuit.ts';

export const gridFloating = defineRule({
  id: 'grid-floating',
  since: '0.1.0',
  category: 'readings',
  severities: 'E where its path was taken away; W where every other grid has one',
  summary: 'A grid has no path for direct current.',
  why: 'A grid with only capacitors on it drifts to whatever leakage and gas make of it. A small valve motorboats or falls silent; an output valve runs away until its anode glows. Where this work took the path away, that is a fact and an error; where it only lacks while the other grids have theirs, the sheet may be the one that is incomplete, and it is a warning.',
  howToFix:
    'Fit the grid leak, or write where it is. Nothing is concluded where the sheet shows too little: only where the path was there before this work, or where every other grid of the sheet has one written.',
  source: 'what a grid leak is for; valve makers limit its resistance and none allow it to be absent',
  options: {
    others: {
      default: 3,
      unit: '1',
      means: 'other grids with a written path that make a sheet count as whole',
    },
  },
  bad: {
    sheet:
      '# Job\n\n## As found\n\n- V5 = 6V6GT\n- C14 = 22n 630V, V3.a to V5.g\n- R16 = 220k 0.5W, V5.g to gnd\n\n## Work\n\n- plug out, discharged: B+1: 3 V\n- R16 -> removed\n\n## As left\n\n- B+1: 320 V\n',
    names: 'V5',
  },
  good: {
    sheet:
      '# Job\n\n## As found\n\n- V5 = 6V6GT\n- C14 = 22n 630V, V3.a to V5.g\n- R16 = 220k 0.5W, V5.g to gnd\n\n## Work\n\n- plug out, discharged: B+1: 3 V\n- R16 -> 220k 1W\n\n## As left\n\n- B+1: 320 V\n',
  },
  check(context) {
    const reports: Report[] = [];
    const { phases } = context.amplifier;
    for (const view of context.verdictViews) {
      const before = phases.slice(0, phases.indexOf(view));
      const grids = amplifyingValves(view).flatMap((valve) => gridOf(view, valve));
      const held = grids.filter(({ isHeld }) => isHeld).length;
      for (const grid of grids) {
        if (grid.isHeld || grid.met.size === 0) continue;
        const report = reportOf(context, view, grid, before, held);
        if (report !== undefined) reports.push(report);
      }
    }
    return reports;
  },
});

interface Grid {
  readonly valve: FittedPart;
  readonly isHeld: boolean;
  readonly met: ReadonlySet<string>;
}

const NOTHING: ReadonlySet<string> = new Set();

function gridOf(view: PhaseView, valve: FittedPart): Grid[] {
  const node = view.circuit.nodeOf(`${valve.ref}.g`);
  if (node === undefined) return [];
  if (isTiedStraight(view, node, valve.ref)) return [{ valve, isHeld: true, met: NOTHING }];
  return [{ valve, ...followDirect(view, node, valve.ref) }];
}

function reportOf(
  context: RuleContext,
  view: PhaseView,
  { valve, met }: Grid,
  before: readonly PhaseView[],
  held: number,
): Report | undefined {
  const path = before
    .map((each) => {
      const node = each.circuit.nodeOf(`${valve.ref}.g`);
      return node === undefined ? undefined : followDirect(each, node, valve.ref);
    })
    .findLast((each) => each?.isHeld === true);
  const change =
    path !== undefined
      ? context.amplifier.changes.findLast(({ ref, planned }) => !planned && path.met.has(ref))
      : undefined;
  const on = [...met].join(' and ');
  if (change !== undefined && change.source.file === context.sheet.uri) {
    return {
      severity: 'error',
      subject: valve.ref,
      phase: view.phase,
      tellsPhase: true,
      message: `only ${on} ${met.size === 1 ? 'is' : 'are'} left on the grid of ${valve.ref}: since ${change.ref} was changed no direct path holds it, where at least one belongs (by what a grid leak is). Fit the grid leak before power goes on.`,
      source: change.source,
    };
  }
  if (held < context.option('others') || !hasWholeSurroundings(view, valve)) return undefined;
  const place = [valve.source, ...[...met].flatMap((ref) => view.parts.get(ref)?.source ?? [])].find(
    ({ file }) => file === context.sheet.uri,
  );
  return place === undefined
    ? undefined
    : {
        severity: 'warning',
        subject: valve.ref,
        phase: view.phase,
        tellsPhase: true,
        message: `only ${on} ${met.size === 1 ? 'is' : 'are'} written on the grid of ${valve.ref}, and the other ${held} grids of this sheet have at least one direct path each. Write its grid leak, or fit one.`,
        source: place,
      };
}

/** Anode and cathode are both tied to something: the writer drew this valve, not only its grid. */
function hasWholeSurroundings(view: PhaseView, { ref }: FittedPart): boolean {
  return ['a', 'k'].every((electrode) => {
    const node = view.circuit.nodeOf(`${ref}.${electrode}`);
    return (
      node === 'gnd' ||
      (node !== undefined && view.circuit.attached(node).some((attachment) => attachment.ref !== ref))
    );
  });
}
