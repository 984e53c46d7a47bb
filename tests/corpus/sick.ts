/** Owns the sick half of the corpus: each fault in a few units, and what a check of them makes of it. */
import { rules } from '../../server/rules/registry.ts';
import type { Finding } from '../../server/rules/rule.ts';
import { isAbout } from '../../server/rules/subject.ts';
import { DESIGNS, type Design, drawUnit } from './designs.ts';
import { FAULTS, type Fault, type Verdict } from './faults.ts';
import { createChance } from './random.ts';
import { writeSheet } from './write.ts';

export interface SickSheet {
  readonly name: string;
  readonly kind: string;
  readonly text: string;
  readonly expected: readonly Verdict[];
  readonly guilty: readonly string[];
}

/** Each fault in so many units, where so many can have it. */
export function sickSheets(each: number): readonly SickSheet[] {
  return FAULTS.flatMap((fault, number) => {
    // Each fault starts at another design, so that they meet all of them together.
    const turned = [
      ...DESIGNS.slice((number * 5) % DESIGNS.length),
      ...DESIGNS.slice(0, (number * 5) % DESIGNS.length),
    ];
    const made: SickSheet[] = [];
    for (const [turn, design] of turned.entries()) {
      if (made.length === each) break;
      const sheet = infect(fault, design, 70_000 + 100 * number + turn);
      if (sheet !== undefined) made.push(sheet);
    }
    return made;
  });
}

function infect({ kind, make }: Fault, design: Design, seed: number): SickSheet | undefined {
  const chance = createChance(seed);
  const made = make(drawUnit(design, chance), chance);
  if (made === undefined) return undefined;
  const { expected, guilty, ...notes } = made;
  const text = writeSheet({ ...notes, layout: seed % 2 === 0 ? 'items' : 'table' }, chance);
  return { name: `${kind} in ${design.name}`, kind, text, expected, guilty };
}

export interface Judged {
  /** A rule that must name it is there. */
  readonly isJudged: boolean;
  readonly isHit: boolean;
  /** Findings at warning or above that name what has nothing wrong with it. */
  readonly accusations: readonly Finding[];
}

export function isLoud({ severity }: Finding): boolean {
  return severity === 'warning' || severity === 'error';
}

export function judge(sheet: SickSheet, findings: readonly Finding[]): Judged {
  const here = sheet.expected.filter(({ rule }) => rules.some(({ id }) => id === rule));
  const isExpected = ({ rule, subject }: Finding): boolean =>
    here.some((each) => each.rule === rule && isAbout(subject, each.subject));
  return {
    isJudged: here.length > 0,
    isHit: findings.some((finding) => isLoud(finding) && isExpected(finding)),
    accusations: findings.filter(
      (finding) =>
        isLoud(finding) &&
        !isExpected(finding) &&
        !sheet.guilty.some((guilty) => isAbout(finding.subject, guilty)),
    ),
  };
}
