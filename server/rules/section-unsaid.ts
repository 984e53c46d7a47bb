/** Owns the rule section-unsaid: pins of a twin were named, its halves go by letters, and nothing says which half has which pins. */
import { partsOfClass } from '../bench/by-class.ts';
import type { FittedPart } from '../bench/model.ts';
import { sectionsAreAmbiguous } from '../catalogue/find-valve.ts';
import { paragraphAtEnd } from './new-lines.ts';
import { defineRule, type Report } from './rule.ts';

export const sectionUnsaid = defineRule({
  id: 'section-unsaid',
  since: '0.1.0',
  category: 'writing',
  severities: 'H',
  summary: 'A twin is spoken of by letters and by pins, and nothing says which half has which pins.',
  why: 'European and American publications number the halves of 9-pin twins in opposite order, so that pin 6 may be the anode of V1A or of V1B. No figure joins the two until the sheet says which it is.',
  howToFix:
    'Write which half a pin is, once: `V1A.a = V1.6`. A shop that always calls them alike writes `sections: A on 6` on its shop sheet. A sheet that speaks of pins alone needs neither.',
  source: 'grammar/dialect.md',
  options: {},
  bad: {
    sheet: '# Job\n\n## As found\n\n- V1 = 12AX7\n- R5 = 1k5, V1A.k to gnd\n- V1: pin 6 181, pin 8 1.45\n',
    names: 'V1',
    fixed:
      '# Job\n\n## As found\n\n- V1 = 12AX7\n- R5 = 1k5, V1A.k to gnd\n- V1: pin 6 181, pin 8 1.45\n\n{V1A.a = V1.6}\n',
  },
  good: {
    sheet: '# Job\n\n## As found\n\n- V1 = 12AX7\n- R5 = 1k5, V1.8 to gnd\n- V1: pin 6 181, pin 8 1.45\n',
  },
  check({ amplifier, sheet }) {
    const reports: Report[] = [];
    const told = new Set<string>();
    for (const view of amplifier.phases) {
      const { phase, circuit, readings } = view;
      const atPins = readings.filter(({ at, source: { file } }) => PIN.test(at) && file === sheet.uri);
      if (atPins.length === 0) continue;
      for (const part of partsOfClass(view, 'valve')) {
        const half = unplacedHalf(part);
        if (half === undefined || told.has(part.whole)) continue;
        const { whole } = part;
        const source = atPins.find(({ at }) => half.pins.some((pin) => at === `${whole}.${pin}`))?.source;
        if (source === undefined) continue;
        const isNamed = (name: string) =>
          circuit.nodeOf(name) !== undefined || atPins.some(({ at }) => at === name);
        const pins = half.pins.filter((pin) => isNamed(`${whole}.${pin}`));
        told.add(whole);
        const said = pins.length === 1 ? `pin ${pins[0]}` : `pins ${pins.join(', ')}`;
        const ways = half.anodes.map((pin) => `{${part.ref}.a = ${whole}.${pin}}`);
        reports.push({
          severity: 'hint',
          subject: whole,
          phase,
          message: `${whole} is spoken of by ${said} and as ${part.ref}, and publications differ about which half is which. No figure joins the two: write ${ways.join(' or ')}, as your drawing has it.`,
          source,
        });
      }
    }
    return reports;
  },
  fix({ sheet, amplifier }, { subject, source }) {
    const found = amplifier.phases.flatMap((view) =>
      partsOfClass(view, 'valve').flatMap((part) =>
        part.whole === subject ? (unplacedHalf(part) ?? []) : [],
      ),
    )[0];
    if (found === undefined) return [];
    const section = sheet.sections.findLast(({ headingSpan }) => headingSpan.start <= source.span.start);
    return found.anodes.map((pin) => ({
      title: `Say that pin ${pin} is the anode of ${found.ref}`,
      safety: 'suggestion' as const,
      edits: [paragraphAtEnd(sheet, section, `{${found.ref}.a = ${subject}.${pin}}`)],
    }));
  },
});

const PIN = /\.\d/;

/** A half that goes by a letter and has no pins yet: the pins of its envelope, and those of the two anodes. */
function unplacedHalf({
  ref,
  section,
  type,
  valveSection,
}: FittedPart):
  | { readonly ref: string; readonly pins: readonly number[]; readonly anodes: readonly number[] }
  | undefined {
  const valve = type?.valve;
  if (section === undefined || valve === undefined || valveSection !== undefined) return undefined;
  if (!sectionsAreAmbiguous(valve)) return undefined;
  const pins = valve.sections.flatMap(({ pins: own }) => Object.values(own).flat());
  return {
    ref,
    pins: pins.sort((a, b) => a - b),
    anodes: valve.sections.flatMap(({ pins: own }) => own.a ?? []),
  };
}
