/** Owns the rule two-core-mains: a mains lead, plug or inlet without an earth on an amplifier that nobody declares class II. */
import { partsOfClass } from '../bench/by-class.ts';
import type { FittedPart, PhaseView } from '../bench/model.ts';
import { isMainsSide } from './mains-side.ts';
import { defineRule, type Report, type RuleContext } from './rule.ts';

export const twoCoreMains = defineRule({
  id: 'two-core-mains',
  since: '0.1.0',
  category: 'readings',
  severities: 'E',
  summary: 'The mains lead has no earth, and the amplifier is not declared class II.',
  why: 'A metal chassis that is only insulated from the mains by old wire, paper and mica is one fault away from live, and so are the strings. The earth is what blows the fuse then. A capacitor from line to chassis, as two-core amplifiers often have one, is enough of a fault by itself. It is told only from what is written: a lead that nobody speaks of may be anything.',
  howToFix:
    'Fit a three-core lead with its earth on a screw of its own to bare chassis, take out any capacitor between line and chassis that is not class Y, and measure the earth. If the amplifier is built as class II and marked so, write `class II` behind the lead, or `class: II` in the front matter of this sheet or its chassis sheet. Local codes and licensed practice decide what may be converted and what may leave the bench.',
  source:
    'IEC 61140: equipment of class I has its touchable metal on a protective earth, equipment of class II has double or reinforced insulation and none (from memory, unverified); local codes decide',
  options: {},
  bad: { sheet: '# Job\n\n## As found\n\n- PL1 = mains lead, two-core\n', names: 'PL1' },
  good: {
    sheet:
      '# Job\n\n## As found\n\n- PL1 = mains lead, three-core\n- SK1 = two-pin extension loudspeaker socket\n- PL2 = mains lead, two-core, class II\n',
  },
  check(context) {
    const reports: Report[] = [];
    if (isDeclaredClassII(context)) return reports;
    for (const view of context.verdictViews) {
      for (const part of partsOfClass(view, 'connector', 'other')) {
        if (part.source.file !== context.sheet.uri || !isWithoutEarth(part, view)) continue;
        reports.push({
          severity: 'error',
          subject: part.ref,
          phase: view.phase,
          tellsPhase: true,
          message: `${part.ref} is ${part.kinds.join(' ')}: the chassis has no protective earth (class I of IEC 61140 wants one), and one fault makes it live. Fit a three-core lead with its earth bonded to the chassis, take out any line-to-chassis capacitor that is not class Y, and measure the earth; or write “class II” if the amplifier is built and marked so. Local codes and licensed practice decide.`,
          source: part.source,
          explains: [{ rule: 'earth-high', subject: 'earth' }],
        });
      }
    }
    return reports;
  },
});

const NO_EARTH = /^(?:two-(?:core|pin|prong|wire|conductor)|unearthed|ungrounded)$/;

/** Said to have two conductors, and to belong to the mains: by a word, or by what it is tied to. */
function isWithoutEarth(part: FittedPart, view: PhaseView): boolean {
  if (part.kinds.includes('class ii') || !part.kinds.some((kind) => NO_EARTH.test(kind))) return false;
  return part.kinds.includes('mains') || isMainsSide(part, view.roles.get(part.ref)?.role ?? 'unknown');
}

function isDeclaredClassII({ amplifier, sheet }: RuleContext): boolean {
  return [sheet, amplifier.chassis, ...amplifier.follows].some((each) =>
    /^(?:class\s*)?(?:ii|2)$/i.test(each?.field('class')?.text.trim() ?? ''),
  );
}
