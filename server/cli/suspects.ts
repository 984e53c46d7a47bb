/** Owns the verb `suspects`: of each sheet and phase, the single faults that would best explain what was read. */
import type { Source } from '../bench/model.ts';
import { PHASE_WORDS } from '../bench/saying.ts';
import { sayCheck, sayFault, sizeOf } from '../bench/suspect-words.ts';
import { type Suspicion, suspicionsOf } from '../bench/suspects.ts';
import { writePercent } from '../units/write.ts';
import { type Places, rangeIn } from './json.ts';
import { jsonItem, printJsonList } from './json-list.ts';
import { plain, type Terminal } from './terminal.ts';
import { wrapBehind } from './text.ts';
import type { SheetVerb } from './verb.ts';

interface SuspectsOfSheet {
  readonly text: string;
  readonly items: readonly string[];
}

export const suspectsVerb: SheetVerb<SuspectsOfSheet> = {
  name: 'suspects',
  formats: ['text', 'json'],
  options: [],
  does: 'the single faults that would best explain the readings, ranked',
  part: ({ analysis, places, call, setting }) => {
    const file = places.path(analysis.sheet.uri);
    const found = suspicionsOf(analysis.amplifier);
    if (call.format === 'json')
      return {
        text: '',
        items: found.map(({ view, suspicion }) =>
          jsonItem({
            file,
            phase: view.phase,
            ...(suspicion.ok ? suspicionJson(suspicion.value, places) : { reason: suspicion.reason }),
          }),
        ),
      };
    const blocks = found.map(({ view, suspicion }) =>
      suspicion.ok
        ? suspicionText(suspicion.value, analysis.sheet.uri, places, setting.terminal)
        : line(`${capital(PHASE_WORDS[view.phase])}: ${suspicion.reason}.`, setting.terminal),
    );
    return { text: blocks.length === 0 ? '' : `${plain(file)}\n${blocks.join('')}\n`, items: [] };
  },
  run: async ({ call, print }, parts) => {
    const list = call.format === 'json' ? printJsonList('suspects', print) : undefined;
    for await (const { text, items } of parts()) {
      if (list !== undefined) list.add(items);
      else if (text !== '') print(text);
    }
    if (list !== undefined) list.end();
    else
      print(
        'Single faults only, put into the circuit as it is written and solved with average valves. The share is of all that were tried, not of what can be. What is not named here is not thereby good.\n',
      );
    return 0;
  },
};

function suspicionJson(suspicion: Suspicion, places: Places): Record<string, unknown> {
  const { view, set, readings, healthy, unexplained, suspects } = suspicion;
  const named = (observations: Suspicion['unexplained']) =>
    observations.map(({ name, source }) => ({
      name,
      file: places.path(source.file),
      range: rangeIn(places, source),
    }));
  return {
    set,
    readings,
    healthy,
    unexplained: named(unexplained),
    suspects: suspects.map((suspect, i) => {
      const size = sizeOf(suspect);
      const { source } = suspect;
      return {
        rank: i + 1,
        subject: suspect.subject,
        fault: suspect.kind,
        ...(size && { value: size.value, unit: size.unit }),
        share: suspect.weight,
        message: sayFault(suspect, view),
        check: sayCheck(suspect, view),
        unexplained: named(suspect.unexplained),
        ...(source && { file: places.path(source.file), range: rangeIn(places, source) }),
      };
    }),
  };
}

function suspicionText(suspicion: Suspicion, file: string, places: Places, terminal: Terminal): string {
  const { view, readings, unexplained, suspects } = suspicion;
  const when = capital(PHASE_WORDS[view.phase]);
  const off = unexplained.map(({ name }) => name).join(', ');
  if (suspects.length === 0) {
    const said =
      unexplained.length === 0
        ? `${when}: ${readings} readings, all within what parts, valves and meter may be off by. No suspect.`
        : `${when}: ${readings} readings. ${off} off, and no single fault explains it better than chance. No suspect.`;
    return line(said, terminal);
  }
  const head = line(
    off === ''
      ? `${when}: ${readings} readings, together further off than parts, valves and meter may be.`
      : `${when}: ${readings} readings, and these do not fit what is fitted: ${off}.`,
    terminal,
  );
  const rows = suspects.map((suspect, i) => {
    const left = suspect.unexplained.map(({ name }) => name).join(', ');
    const at = suspect.source === undefined ? '' : ` (${placeOf(suspect.source, file, places)})`;
    const rest = left === '' ? '' : ` Leaves unexplained: ${left}.`;
    return [
      line(
        `${i + 1}. ${suspect.subject}: ${sayFault(suspect, view)}${at}. Share ${writePercent(suspect.weight, { digits: 2 })}.`,
        terminal,
        4,
        7,
      ),
      line(`${sayCheck(suspect, view)}${rest}`, terminal, 7),
    ].join('');
  });
  return head + rows.join('');
}

function placeOf(source: Source, file: string, places: Places): string {
  const at = `line ${rangeIn(places, source).start.line + 1}`;
  return source.file === file ? at : `${places.path(source.file)}, ${at}`;
}

function line(text: string, { width }: Terminal, indent = 2, hanging = indent): string {
  return `${' '.repeat(indent)}${wrapBehind(plain(text), hanging, width)}\n`;
}

function capital(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}
