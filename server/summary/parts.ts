/** Owns the list of what is fitted by a chassis sheet: its parts under the sheet's headings, with value, rating and what they are put to. */
import type { FittedPart, PhaseView } from '../bench/model.ts';
import type { Sheet } from '../sheet/model.ts';
import { sheetName } from '../shop/uris.ts';
import { countBefore } from '../text/halving.ts';
import { type Block, type Row, strong, type Text } from './document.ts';
import { benchRole, describePart } from './part-words.ts';
import { findFigure } from './stress.ts';
import type { Telling } from './telling.ts';

/** Nothing for a job, whose parts stand on its chassis sheet. */
export function fittedBlocks(telling: Telling): readonly Block[] {
  const { words, amplifier, sheet } = telling;
  const { bench: w } = words;
  const view = amplifier.phases.find(({ phase }) => phase === 'factory');
  if (sheet.kind !== 'chassis' || view === undefined || view.parts.size === 0) return [];
  const groups = new Map<string, FittedPart[]>();
  for (const part of inOrder(telling, view)) {
    const head = headOf(telling, part);
    groups.set(head, [...(groups.get(head) ?? []), part]);
  }
  return [
    {
      kind: 'table',
      caption: w.fitted,
      isCaptionUnseen: true,
      columns: [
        { head: w.part },
        { head: w.role },
        { head: w.partIs },
        { head: w.putTo },
        { head: w.where, role: 'place' },
      ],
      rows: [...groups].flatMap(([head, parts]) => [
        ...(head === '' ? [] : [{ group: head }]),
        ...parts.map((part) => partRow(telling, view, part)),
      ]),
      hasRowHeads: true,
    },
  ];
}

/** Those of this sheet first, in the order that they are written in, then those of the sheets that it follows. */
function inOrder({ analysis, sheet }: Telling, { parts }: PhaseView): readonly FittedPart[] {
  const files = [sheet.uri, ...analysis.follows.map(({ uri }) => uri)];
  const rankOf = ({ source }: FittedPart): number => {
    const rank = files.indexOf(source.file);
    return rank < 0 ? files.length : rank;
  };
  return [...parts.values()].sort(
    (a, b) => rankOf(a) - rankOf(b) || a.source.span.start - b.source.span.start,
  );
}

/** The heading that a part is written under, with the name of its sheet where that is another one. */
function headOf({ analysis, sheet }: Telling, { source }: FittedPart): string {
  const from: Pick<Sheet, 'uri' | 'sections' | 'title'> | undefined = [sheet, ...analysis.follows].find(
    ({ uri }) => uri === source.file,
  );
  if (from === undefined) return sheetName(source.file);
  const before = countBefore(from.sections, ({ headingSpan }) => headingSpan.start <= source.span.start);
  const heading = from.sections[before - 1]?.heading ?? '';
  const said = heading === from.title ? '' : heading;
  return from === sheet ? said : [sheetName(source.file), said].filter((each) => each !== '').join(': ');
}

function partRow(telling: Telling, view: PhaseView, part: FittedPart): Row {
  const { words, places } = telling;
  return {
    cells: [
      part.ref,
      benchRole(telling, part.ref),
      describePart(part, telling) ?? words.notWritten,
      stressText(telling, view, part),
      places.say(part.source),
    ],
    line: places.line(part.source),
  };
}

/** `1.34 V, 5.36 % of 25 V`: a capacitor by its volts, all else by its watts. */
function stressText({ words, numbers }: Telling, view: PhaseView, { ref, ratings }: FittedPart): Text {
  const { bench: w } = words;
  const volts = findFigure(view, 'voltage', ref);
  const rating = ratings.voltage?.quantity;
  if (volts !== undefined && rating !== undefined && rating.value > 0) {
    const share = numbers.share(Math.abs(volts.quantity.value) / rating.value);
    return told(numbers.band(volts), share, w.ofRating(numbers.say(rating)));
  }
  const power = findFigure(view, 'dissipation', ref) ?? findFigure(view, 'anode-dissipation', ref);
  const loading = findFigure(view, 'loading', ref) ?? findFigure(view, 'anode-loading', ref);
  if (power === undefined) return words.none;
  if (loading?.limit === undefined) return numbers.band(power);
  const share = numbers.share(loading.quantity.value);
  return told(numbers.band(power), share, w.ofRating(numbers.say(loading.limit.quantity)));
}

/** In one line: a rating is not torn from what it is of. */
function told(value: string, share: string, rating: string): Text {
  return [value, ',\u00a0', strong(share), `\u00a0${rating.replaceAll(' ', '\u00a0')}`];
}
