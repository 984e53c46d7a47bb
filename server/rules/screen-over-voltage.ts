/** Owns the rule screen-over-voltage: more between screen and cathode than the valve's data sheet allows. */
import type { FittedPart, PhaseView } from '../bench/model.ts';
import { type Edition, editionsOf } from '../catalogue/editions.ts';
import type { Catalogue } from '../catalogue/find-valve.ts';
import type { Valve } from '../catalogue/valve.ts';
import { isFixedBias } from './bias-kind.ts';
import { shareOf, showValue } from './phrases.ts';
import { defineRule, type Report, type RuleContext, type Severity } from './rule.ts';
import { findVolts, METER_SLACK } from './voltages.ts';

/** A cathode that nobody read stands no higher than this. */
const UNREAD_CATHODE = 60;

export const screenOverVoltage = defineRule({
  id: 'screen-over-voltage',
  since: '0.1.0',
  category: 'ratings',
  severities: 'W >100 %, E >115 %; I where another edition of the sheet allows it',
  summary: 'The screen stands above the voltage that the valve’s data sheet allows.',
  why: 'The limit holds between screen and cathode. Too high a screen draws too much at full drive and arcs in a valve of another make, even where the anode’s volts are within its own limit. Makers go over it often; that makes it common, not right. Where another edition of the same sheet allows the voltage, it is information that names both.',
  howToFix:
    'Check the mains and its tap first, then the choke or dropper that feeds the screens. If the amplifier was designed so, accept the finding with that reason, and choose valves whose own sheet allows the voltage.',
  source: 'the valve’s data sheet, its edition and its rating system, all named in the message',
  options: {
    warning: { default: 1, unit: '1', means: 'share of the limit that is a warning' },
    error: { default: 1.15, unit: '1', means: 'share that is an error' },
  },
  bad: {
    sheet:
      '# Job\n\n## As found\n\n- V5 = 6V6GT\n- R17 = 470R 5W, V5.k to gnd\n- V5: a 321, g2 317, k 16.4\n',
    names: 'V5',
  },
  good: {
    sheet:
      '# Job\n\n## As found\n\n- V5 = 6V6GT\n- R17 = 470R 5W, V5.k to gnd\n- V5: a 311, g2 272, k 15.4\n',
  },
  check: (context) => context.eachPart(checkScreen, 'valve'),
});

function checkScreen(
  { option, catalogue }: RuleContext,
  view: PhaseView,
  part: FittedPart,
): Report | undefined {
  const valve = part.type?.valve;
  if (valve === undefined) return undefined;
  const screenNode = view.circuit.nodeOf(`${part.ref}.g2`);
  // A triode-connected screen is an anode, and has its limit.
  if (screenNode !== undefined && screenNode === view.circuit.nodeOf(`${part.ref}.a`)) return undefined;
  const screen = findVolts(view, `${part.ref}.g2`);
  if (screen === undefined) return undefined;
  const cathode = findVolts(view, `${part.ref}.k`);
  const across = screen.value.quantity.value - (cathode?.value.quantity.value ?? 0);
  const isSure =
    cathode !== undefined || view.circuit.nodeOf(`${part.ref}.k`) === 'gnd' || isFixedBias(view, part.ref);
  const unsure = isSure ? 0 : UNREAD_CATHODE;
  const editions = ownEditions(valve, catalogue);
  const verdict = judge(editions, across, unsure, option('warning'), option('error'));
  if (verdict === undefined) return undefined;
  const { severity, edition, allows } = verdict;
  return {
    severity,
    subject: part.ref,
    phase: view.phase,
    ...(view.verdictSet === undefined ? {} : { set: view.verdictSet }),
    tellsPhase: true,
    message: `${part.ref} has ${showValue(across, 'V')} from screen to ${cathode === undefined ? 'ground' : 'cathode'}: ${shareOf(across / edition.value)} the ${showValue(edition.value, 'V')} that ${valve.type} allows (${nameOf(edition)}). ${allows === undefined ? 'Common in production, and still over. Check mains, tap and the screens’ feed; if it is the design, accept it with that reason.' : `The ${allows.name} allows ${showValue(allows.value, 'V')}: go by the sheet of the valve that is fitted.`}`,
    source: screen.source,
    figures: { voltage: { value: across, unit: 'V' } },
    measure: 'voltage',
    limit: {
      quantity: { value: edition.value, unit: 'V' },
      source: `${valve.type}, ${nameOf(edition)}`,
    },
  };
}

/** The editions of the valve's own sheet: what the sheet of a later type allows, that type has and not this one. */
function ownEditions(valve: Valve, catalogue: Catalogue): readonly Edition[] {
  return editionsOf(valve, 'screenVoltage').filter(({ name }) => {
    const [word] = name.split(' ');
    return word === undefined || word === '' || catalogue.findValve(word) === undefined;
  });
}

interface Verdict {
  readonly severity: Severity;
  readonly edition: Edition;
  /** Another edition, which allows it. */
  readonly allows?: Edition;
}

/** Held against the highest limit printed; what only a lower one forbids is information, with both named. */
function judge(
  own: readonly Edition[],
  across: number,
  unsure: number,
  warning: number,
  error: number,
): Verdict | undefined {
  const editions = [...own].sort((a, b) => a.value - b.value);
  const lowest = editions[0];
  const highest = editions.at(-1);
  if (lowest === undefined || highest === undefined) return undefined;
  const least = across / (1 + METER_SLACK) - unsure;
  if (least > highest.value * warning) {
    const severity = least > highest.value * error ? 'error' : 'warning';
    return { severity, edition: highest };
  }
  if (least <= lowest.value * warning) return undefined;
  const allows = editions.find(({ value }) => least <= value * warning);
  return { severity: 'info', edition: lowest, ...(allows && { allows }) };
}

/** Its rating system, its name and its source, each only where the rest does not say it already. */
function nameOf({ name, system, trust }: Edition): string {
  const sheet = name.replace(`, ${system}`, '');
  const isNamed = sheet === '' || trust.source.startsWith(sheet.replace(/ sheet$/, ''));
  const said = [...(isNamed ? [] : [sheet]), trust.source].join(', ');
  return said.includes(system) ? said : `${system}, ${said}`;
}
