/** Owns the rule other-valve-than-drawn: a valve in a socket that is wired for another. */
import { partsOfClass } from '../bench/by-class.ts';
import type { FittedPart, PhaseView } from '../bench/model.ts';
import type { Valve } from '../catalogue/valve.ts';
import { showValue } from './phrases.ts';
import { defineRule, type Report } from './rule.ts';

export const otherValveThanDrawn = defineRule({
  id: 'other-valve-than-drawn',
  since: '0.1.0',
  category: 'readings',
  severities: 'W',
  summary: 'A valve is fitted that the socket of this chassis is not made for.',
  why: 'Valves of one shape differ in pins, heater current and what their screens endure. An EL34 in a socket wired for a 6L6 type has its suppressor on a pin that may be open or used as a tie point; a thirstier heater overloads the winding.',
  howToFix:
    'Compare the differences named in the message with the socket. Wire it for the type fitted, tie pin 1 to pin 8 for an EL34, count the heaters, set the bias anew; or fit the type drawn. A declared modification is accepted once, with its reason.',
  source: 'the two valves’ data sheets, as the message names them',
  options: {
    heater: {
      default: 0.25,
      unit: '1',
      means: 'more heater current than the drawn type’s, as a share of it',
    },
    screen: { default: 0.05, unit: '1', means: 'screen limit lower than the drawn type’s, as a share of it' },
  },
  bad: {
    sheet:
      '# Job\n\n## Work\n\n- plug out, discharged: B+1: 3 V\n- V3 = 6V6GT -> EL34\n\n## As left\n\n- B+1: 320 V\n',
    names: 'V3',
  },
  good: {
    sheet:
      '# Job\n\n## Work\n\n- plug out, discharged: B+1: 3 V\n- V1A = ECC83 -> 12AX7\n\n## As left\n\n- B+1: 320 V\n',
  },
  check(context) {
    const reports: Report[] = [];
    const told = new Set<string>();
    for (const view of context.verdictViews) {
      for (const part of partsOfClass(view, 'valve')) {
        const fitted = part.type?.valve;
        if (fitted === undefined || part.type === undefined || part.type.source.file !== context.sheet.uri)
          continue;
        const drawn = drawnType(context.amplifier, view, part);
        const key = `${view.phase} ${part.whole}`;
        if (drawn === undefined || drawn.type === fitted.type || told.has(key)) continue;
        const differences = differencesOf(view, part, drawn, fitted, context.option);
        if (differences.length === 0) continue;
        told.add(key);
        reports.push({
          severity: 'warning',
          subject: part.whole,
          phase: view.phase,
          tellsPhase: true,
          message: `${part.whole} is fitted with ${fitted.type} where ${drawn.type} belongs (data sheets of both): ${differences.join('; ')}. Wire the socket for it and set its bias anew, or fit ${drawn.type}.`,
          source: part.type.source,
        });
      }
    }
    return reports;
  },
});

/** The type of the chassis sheet, else what this work took out of the socket. */
function drawnType(
  amplifier: {
    readonly phases: readonly PhaseView[];
    readonly changes: readonly {
      readonly ref: string;
      readonly was?: FittedPart;
      readonly planned: boolean;
    }[];
  },
  view: PhaseView,
  part: FittedPart,
): Valve | undefined {
  const factory = amplifier.phases.find(({ phase }) => phase === 'factory');
  if (factory !== undefined && factory !== view) return factory.parts.get(part.ref)?.type?.valve;
  return amplifier.changes.find(({ ref, planned, was }) => !planned && ref === part.ref && was !== undefined)
    ?.was?.type?.valve;
}

function differencesOf(
  view: PhaseView,
  part: FittedPart,
  drawn: Valve,
  fitted: Valve,
  option: (name: string) => number,
): readonly string[] {
  const said: string[] = [];
  const pins = pinDifferences(view, part, drawn, fitted);
  if (pins !== undefined) said.push(pins);
  const [was, is] = [drawn.heater, fitted.heater];
  if (Math.abs(is.volts.value / was.volts.value - 1) > 0.05)
    said.push(
      `its heater is for ${showValue(is.volts.value, 'V')} instead of ${showValue(was.volts.value, 'V')}`,
    );
  else if (is.amperes.value > was.amperes.value * (1 + option('heater')))
    said.push(
      `its heater draws ${showValue(is.amperes.value, 'A')} instead of ${showValue(was.amperes.value, 'A')}`,
    );
  const [before, now] = [drawn.limits.screenVoltage, fitted.limits.screenVoltage];
  if (before !== undefined && now !== undefined && now.value < before.value * (1 - option('screen')))
    said.push(
      `its screen endures ${showValue(now.value, 'V')} instead of ${showValue(before.value, 'V')} (${now.trust.source})`,
    );
  return said;
}

function pinDifferences(view: PhaseView, part: FittedPart, drawn: Valve, fitted: Valve): string | undefined {
  const [was, is] = [drawn.sections[0], fitted.sections[0]];
  if (was === undefined || is === undefined) return undefined;
  if (familyOf(drawn.base) !== familyOf(fitted.base) || drawn.sections.length !== fitted.sections.length)
    return `another base, ${fitted.base} instead of ${drawn.base}`;
  const moved = Object.entries(is.pins).filter(([electrode, numbers]) => {
    const before = was.pins[electrode];
    return before !== undefined && !numbers.some((pin) => before.includes(pin));
  });
  if (moved.length > 0)
    return `other pins: ${moved.map(([electrode, numbers]) => `${electrode} on ${numbers.join(' and ')}`).join(', ')}`;
  const suppressor = is.pins.g3;
  const shared = suppressor?.some((pin) => is.pins.k?.includes(pin)) === true;
  const tied =
    part.terminals.get('g3') !== undefined &&
    view.circuit.nodeOf(`${part.ref}.g3`) === view.circuit.nodeOf(`${part.ref}.k`);
  return suppressor !== undefined && was.pins.g3 === undefined && !shared && !tied
    ? `its suppressor on pin ${suppressor.join(', ')} must be tied to the cathode, and nothing says that it is`
    : undefined;
}

/** `octal` of `octal (7AC)`. */
function familyOf(base: string): string {
  return base.split(' ')[0] ?? base;
}
