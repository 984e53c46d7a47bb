/** Owns the rule runs-hot-on-board: a part on a board that gives off more heat than the board bears. */
import { showFigure, showValue } from './phrases.ts';
import { defineRule, type Report } from './rule.ts';

export const runsHotOnBoard = defineRule({
  id: 'runs-hot-on-board',
  since: '0.1.0',
  category: 'ratings',
  severities: 'I >2 W, whatever the rating',
  summary: 'A part on a board gives off enough heat to char it.',
  why: 'Watts are watts: a ten-watt part at three watts runs cooler inside and heats the board all the same. Boards brown, turn conductive and lift their pads. This is a matter of mounting; the rating is another verdict.',
  howToFix:
    'Raise the part a centimetre off the board on its own leads, away from electrolytics, or move it to the chassis. Write `R19 -> raised` when it is done.',
  source: 'common practice, no source',
  options: {
    info: { default: 2, unit: 'W', means: 'power on a board that is information' },
  },
  bad: {
    sheet: '# Job\n\n## As found\n\n- R19 = 220R 10W wirewound board-mounted, V5.k to gnd\n- R19: 25.2 V\n',
    names: 'R19',
  },
  good: {
    sheet: '# Job\n\n## As found\n\n- R19 = 220R 10W wirewound, V5.k to gnd\n- R19: 25.2 V\n',
  },
  check({ verdictViews, figures, option, amplifier }) {
    const reports: Report[] = [];
    for (const view of verdictViews) {
      for (const power of figures(view, 'dissipation')) {
        const part = view.parts.get(power.subject);
        if (part === undefined || !part.kinds.some(saysBoard) || power.quantity.value <= option('info'))
          continue;
        const isLater = view.phase === 'as-left' || view.phase === 'noted';
        const isRaised = amplifier.changes.some(
          ({ ref, work, planned }) => ref === part.ref && !planned && (work === 'raised' || work === 'moved'),
        );
        if (isLater && isRaised) continue;
        reports.push({
          severity: 'info',
          subject: part.ref,
          phase: view.phase,
          ...(view.verdictSet === undefined ? {} : { set: view.verdictSet }),
          tellsPhase: true,
          message: `${part.ref} gives off ${showFigure(power)} on a board, above ${showValue(option('info'), 'W')} (house rule; common practice, no source), whatever its rating. Raise it off the board or move it to the chassis.`,
          source: power.source,
          figures: { dissipation: power.quantity },
          measure: 'dissipation',
          limit: {
            quantity: { value: option('info'), unit: 'W' },
            source: 'house rule; common practice, no source',
          },
        });
      }
    }
    return reports;
  },
});

/** `board-mounted`, `pcb`, `on-board`. */
function saysBoard(kind: string): boolean {
  return /^(?:on-)?(?:board|pcb)(?:-mounted)?$/.test(kind);
}
