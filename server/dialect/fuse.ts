/** Owns how a fuse is marked: speed, rating, breaking capacity, volts, in the order of the cap or of the catalogue. */
import { addRating, type Draft, word } from './draft.ts';
import { writtenAs } from './written.ts';

const FUSE_SPEED = /(TT|FF|T|F|M)(?=\s?\d)|(\d+(?:\.\d+)?\s?m?A)\s?(TT|FF|T|F|M)(?![\p{L}\p{N}])/uy;
const FUSE_SPEED_WORD =
  /(slow(?:[-\s]?blow)?|slo-blo|time-?lag|anti-?surge|fast|quick(?:[-\s]?blow)?|TT|FF|T|F|M)(?![\p{L}\p{N}-])/uy;

const BREAKING = /([\d.]+\s?m?A)([LHE])?\s?(\d{2,3}\s?V(?:AC)?)?(?![\p{L}\p{N}])/uy;

/** `1AL250V` behind the speed's letter: rating, breaking capacity, volts, as stamped on the cap. */
export function scanFuseStamp(text: string, at: number, draft: Draft): number | undefined {
  if (draft.partClass !== 'fuse' || draft.values.length > 0) return undefined;
  BREAKING.lastIndex = at;
  const found = BREAKING.exec(text);
  const [all, current = '', capacity, volts] = found ?? [];
  if (all === undefined || (capacity === undefined && volts === undefined)) return undefined;
  const end = at + all.length;
  draft.values.push(writtenAs(text, { start: at, end: at + current.length }, current, 'A', 'fuse'));
  if (capacity !== undefined) draft.kinds.push(word(text, at + current.length, at + current.length + 1));
  if (volts !== undefined) addRating(draft, 'voltage', text, end - volts.length, end, volts);
  return end;
}

const BODY = /(?:3AG|[58]AG|\d(?:\.\d)?\s?x\s?\d{2}(?:\s?mm)?|\d{2}\s?mm)(?![\p{L}\p{N}])/iuy;

/** The size of its body (`3AG`, `5x20`), which is a kind. */
export function scanFuseBody(text: string, at: number, draft: Draft): number | undefined {
  if (draft.partClass !== 'fuse') return undefined;
  BODY.lastIndex = at;
  const found = BODY.exec(text);
  if (found === null) return undefined;
  draft.kinds.push(word(text, at, at + found[0].length));
  return at + found[0].length;
}

const ANOTHER = /(?:TT|FF|T|F|M)\s?(\d+(?:\.\d+)?\s?m?A)(?![\p{L}\p{N}])/uy;

/** `T1A` behind `T500mA`: the fuse for another mains tap, whose spelling is that of a transformer's section, too. */
export function scanOtherFuse(text: string, at: number, draft: Draft): number | undefined {
  if (draft.partClass !== 'fuse' || draft.values.length === 0) return undefined;
  ANOTHER.lastIndex = at;
  const found = ANOTHER.exec(text);
  const current = found?.[1];
  if (found === null || current === undefined) return undefined;
  const end = at + found[0].length;
  draft.values.push(writtenAs(text, { start: end - current.length, end }, current, 'A', 'fuse'));
  draft.span = { start: draft.span?.start ?? at, end };
  return end;
}

export function scanFuseSpeed(text: string, at: number, draft: Draft): number | undefined {
  if (draft.partClass !== 'fuse' || draft.fuseSpeed !== undefined) return undefined;
  FUSE_SPEED.lastIndex = at;
  const mark = FUSE_SPEED.exec(text);
  if (mark?.[1] !== undefined) {
    const end = at + mark[1].length;
    draft.fuseSpeed = word(text, at, end);
    return end;
  }
  if (mark?.[2] !== undefined && mark[3] !== undefined) {
    const end = at + mark[0].length;
    const span = { start: at, end: at + mark[2].length };
    draft.values.push(writtenAs(text, span, mark[2], 'A', 'fuse'));
    draft.fuseSpeed = word(text, end - mark[3].length, end);
    return end;
  }
  FUSE_SPEED_WORD.lastIndex = at;
  const speed = FUSE_SPEED_WORD.exec(text);
  if (speed === null) return undefined;
  draft.fuseSpeed = word(text, at, at + speed[0].length);
  return at + speed[0].length;
}
