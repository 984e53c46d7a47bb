/** Owns noticing that a remark behind a part was meant as its connection: one of its ends is called by a word that names no point. */
import { JOINING } from './connections.ts';
import { scanPoint } from './points.ts';
import type { Statement } from './said.ts';
import type { WritingProblem } from './tree.ts';

/** Two words of no more letters than a point's name has: without a bound, a long run without a space is gone through from each sign. */
const JOINED =
  /(?<![\p{L}\p{N}.])(?:(?:from|between)\s+)?(\S{1,40}?)\s+(?:to|and)\s+([^\s,;]{1,40}?)(?=\s*(?:$|[,;(]|\.(?:\s|$)|-\s))/giu;
const IN_OR_OUT = /^(?:in|out)$/i;
const WORD = /^\p{L}[\p{L}\d]*$/u;

/** `R3 = 100k, V1A.g to in`: `in` is a word of the dialect, so that R3 would be connected nowhere and nobody be told. */
export function unnamedPoints(text: string, { body, end }: Statement): readonly WritingProblem[] {
  if (body.kind !== 'fitted' && body.kind !== 'change') return [];
  if (body.connections.length > 0 || end >= text.length) return [];
  const name = body.refs.map((ref) => ref.name).join(', ');
  // Anything but a clause by itself is a sentence.
  const rest = /^[\s,;]*/.exec(text.slice(end))?.[0].length ?? 0;
  for (const found of text.slice(end + rest).matchAll(JOINED)) {
    const before = text.slice(end + rest, end + rest + found.index).trimEnd();
    if (before !== '' && !/[,;]/.test(before.charAt(before.length - 1))) continue;
    const [whole, first = '', second = ''] = found;
    if (JOINING.has(first.toLowerCase()) && pointNature(second) === 'sure') {
      const at = end + rest + found.index;
      return [
        {
          kind: 'point-unknown',
          span: { start: at, end: at + whole.length },
          message: `“${whole}” says one end only, and in words, so it is a remark and ${name} is connected nowhere: write both ends, as in “V1A.g to ${second}”`,
          offers: [],
        },
      ];
    }
    const ends = [
      { word: first, at: whole.indexOf(first, /^(?:from|between)\s+/i.exec(whole)?.[0].length ?? 0) },
      { word: second, at: whole.length - second.length },
    ];
    const unnamed = ends.find(({ word }) => pointNature(word) === undefined);
    const named = ends.find(({ word }) => pointNature(word) !== undefined);
    if (unnamed === undefined || !WORD.test(unnamed.word)) continue;
    // Two words of the writer's own (`brown to black`) are rather a remark, but for the ends that a circuit has.
    const isSure = named !== undefined && pointNature(named.word) === 'sure';
    if (!isSure && !ends.every((each) => each === named || IN_OR_OUT.test(each.word))) continue;
    const start = end + rest + found.index + unnamed.at;
    const span = { start, end: start + unnamed.word.length };
    const better = `${unnamed.word.toLowerCase()}1`;
    return [
      {
        kind: 'point-unknown',
        span,
        message: `“${unnamed.word}” means something else here and cannot name a point, so “${whole}” is only a remark and ${name} is connected nowhere: call it something else`,
        offers:
          pointNature(better) === undefined
            ? []
            : [{ saying: `the point ${better}`, edit: { span, text: better } }],
      },
    ];
  }
  return [];
}

/** Whether the whole word names a point, and whether it is one that only its use declares. */
function pointNature(word: string): 'free' | 'sure' | undefined {
  const scanned = scanPoint(word, 0, { free: true, gap: false, hyphenSection: true });
  if (scanned === undefined || scanned.end !== word.length) return undefined;
  return scanned.point.kind === 'node' && scanned.point.nature === 'free' ? 'free' : 'sure';
}
