/** Owns the table of what capacitors stand at against the working voltage marked on them, running and at switch-on. */
import type { Figure, PhaseView } from '../bench/model.ts';
import type { Quantity } from '../units/si.ts';
import { scaleOf } from './bars.ts';
import { aside, type Block, paragraph, strong, type Text } from './document.ts';
import { namedPart } from './part-words.ts';
import { findFigure, subjectsOf, toldViews } from './stress.ts';
import type { Telling } from './telling.ts';

/** Volts on a capacitor with its rating at that time. */
interface Stand {
  readonly volts: Figure;
  readonly rating: Quantity;
  readonly share: number;
}

/** Each capacitor whose volts and marked rating are known; nothing where there is none. */
export function capacitorBlocks(telling: Telling): readonly Block[] {
  const { words, places, amplifier } = telling;
  const { bench: w } = words;
  const told = toldViews(amplifier.phases);
  const views = told.filter((view) => subjectsOf([view], ['margin']).length > 0);
  const rows = subjectsOf(told, ['margin', 'cold-voltage'])
    .map((ref) => ({
      ref,
      running: views.map((view) => findStand(view, 'voltage', ref)),
      // What is soldered in at the end is what will be switched on.
      cold: told.flatMap((view) => findStand(view, 'cold-voltage', ref) ?? []).at(-1),
    }))
    .filter(({ running, cold }) => cold !== undefined || running.some((stand) => stand !== undefined));
  if (rows.length === 0) return [];
  const hasCold = rows.some(({ cold }) => cold !== undefined);
  const stands = rows.flatMap(({ running, cold }) => [...running, cold]);
  const scale = scaleOf(stands.flatMap((stand) => stand?.share ?? []));
  const heads = [...views.map(({ phase }) => words.phases[phase]), ...(hasCold ? [w.cold] : [])];
  return [
    {
      kind: 'table',
      role: 'stress',
      caption: w.capacitors,
      isCaptionUnseen: true,
      columns: [{ head: w.capacitor }, ...heads.map((head) => ({ head }))],
      rows: rows.map(({ ref, running, cold }) => {
        const source = [...running, cold].findLast((stand) => stand !== undefined)?.volts.source;
        return {
          cells: [
            namedPart(telling, ref),
            ...[...running, ...(hasCold ? [cold] : [])].map((stand) =>
              stand === undefined ? words.none : standText(telling, stand, scale),
            ),
          ],
          line: source && places.line(source),
        };
      }),
      hasRowHeads: true,
    },
    ...(hasCold ? [coldNotes(telling, rows)] : []),
  ];
}

function findStand(view: PhaseView, name: 'voltage' | 'cold-voltage', ref: string): Stand | undefined {
  const volts = findFigure(view, name, ref);
  const rating = view.parts.get(ref)?.ratings.voltage?.quantity;
  if (volts === undefined || rating === undefined || rating.value <= 0) return undefined;
  return { volts, rating, share: Math.abs(volts.quantity.value) / rating.value };
}

function standText(
  { words, numbers, places }: Telling,
  { volts, rating, share }: Stand,
  scale: number,
): Text {
  const { bench: w } = words;
  const [said, used] = [numbers.band(volts), numbers.share(share)];
  const bar = {
    share,
    ...(volts.low === undefined ? {} : { low: volts.low / rating.value }),
    ...(volts.high === undefined ? {} : { high: volts.high / rating.value }),
    says: w.barOf(said, used, numbers.say(rating)),
  };
  return [
    { kind: 'bar', bar, scale },
    ` ${said}, `,
    strong(used),
    ` ${w.ofRating(numbers.say(rating))} `,
    aside('place', places.say(volts.source)),
  ];
}

/** What must be said with the cold figures, each thing once with the capacitors that it concerns. */
function coldNotes(
  { words, english }: Telling,
  rows: readonly { readonly ref: string; readonly cold: Stand | undefined }[],
): Block {
  const concerned = new Map<string, string[]>();
  for (const { ref, cold } of rows)
    for (const remark of cold?.volts.remark?.split('; ') ?? [])
      concerned.set(remark, [...(concerned.get(remark) ?? []), ref]);
  const remarks = [...concerned].map(
    ([remark, refs]): Text => [` ${refs.join(', ')}: `, english(remark), '.'],
  );
  return paragraph([words.bench.coldNote, remarks], 'small');
}
