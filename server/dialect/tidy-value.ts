/**
 * Owns the normal spelling of one written value: one sign for each thing, the unit in its usual letters, a space where a
 * meter's display has one. The family of the spelling (`4k7` or `4.7k`, `.022` or `0.022`, `19,4` or `19.4`) is the
 * author's and stays.
 */

/** Where a value stands: a part's marking is written without a space (`470R 5W`), what a meter said with one (`331 V`). */
export type Manner = 'fitted' | 'read';

/** Signs and letters that have several characters, or a name, for one thing. */
const CHARACTERS: Readonly<Record<string, string>> = {
  '\u2212': '-',
  '\u2013': '-',
  '\u2010': '-',
  '\u2011': '-',
  '\u2014': '-',
  '\uff0b': '+',
  '\uff5e': '~',
  '\u2248': '~',
  '\u2243': '~',
  '\u223c': '~',
  '\u00b5': 'u',
  '\u03bc': 'u',
  '\u03a9': 'ohm',
  '\u2126': 'ohm',
  '\u2103': '°C',
  '\u00ba': '°',
  '\u00a0': ' ',
  '\u2009': ' ',
  '\u202f': ' ',
  '&micro;': 'u',
  '&mu;': 'u',
  '&#181;': 'u',
  '&Omega;': 'ohm',
  '&ohm;': 'ohm',
  '&#8486;': 'ohm',
  '&#937;': 'ohm',
  '&minus;': '-',
  '&ndash;': '-',
  '&plusmn;': '±',
  '&deg;': '°',
  '&nbsp;': ' ',
};

const ODD = /&#?\w{2,8};|[^ -~]/g;

/** A text that was read in the wrong encoding is another finding's to mend; grouped thousands are the author's. */
const LEFT_ALONE = /[ÂÎâÃ]|\d[\u00a0\u2007\u2008\u2009\u202f]\d|[\r\n\\*|]/;

const ABOUT = /^(?:~|(?:about|approx(?:imately)?\.?|around|roughly|circa|ca\.?)(?=[\s\d.+-]))\s*/i;
const BOUND = /^([<>])\s*/;
const SIGN = /^(?:([+-])|(plus|minus)\s+)/i;
const PLUS_MINUS = /^(?:±|\+\s?\/\s?-|\+-)\s*/;
const NUMBER = /^(?:\d+(?:[.,]\d+)?|\.\d+)/;
const RANGE = /^\s?-\s?(?=\d)/;
const FRACTION = /^[1-7]\/[248](?=\s?(?:w|a)(?:atts?|mps?)?$)/i;
const HALVES = /^(\d+(?:\.\d+)?)\s?-\s?0\s?-\s?(\1)\s?[Vv]$/;
const CODE = /^(\d*)([RrKkMNnPpUu])(\d+)(F|[JKGMZ])?$/;

/**
 * Other spellings of a value in the order in which they are to be tried; none where it is in its normal form or where
 * nothing is sure. They are offers: whoever takes one looks whether it still means the same.
 */
export function spellings(written: string, manner: Manner): readonly string[] {
  if (LEFT_ALONE.test(written)) return [];
  const plain = written.replace(ODD, (odd) => CHARACTERS[odd] ?? odd);
  const tried = [spell(plain, manner), spell(plain, manner, true)];
  const offers = tried.filter((each) => each !== undefined && each !== written);
  return [...new Set(offers)] as string[];
}

/** The normal spelling; `isSpaced` as the author spaced it, where the other does not read. */
function spell(plain: string, manner: Manner, isSpaced = false): string | undefined {
  const halves = HALVES.exec(plain)?.[1];
  if (halves !== undefined) return `${halves}-0-${halves}V`;
  let rest = plain;
  let head = '';
  const take = (pattern: RegExp): RegExpExecArray | undefined => {
    const found = pattern.exec(rest);
    if (found === null) return undefined;
    rest = rest.slice(found[0].length);
    return found;
  };
  if (take(ABOUT) !== undefined) head += 'about ';
  head += take(BOUND)?.[1] ?? '';
  const plusMinus = take(PLUS_MINUS);
  if (plusMinus !== undefined) head += '±';
  const sign = plusMinus === undefined ? take(SIGN) : undefined;
  if (sign !== undefined) head += sign[1] ?? (sign[2]?.toLowerCase() === 'minus' ? '-' : '+');
  const code = CODE.exec(rest);
  if (code !== null) {
    const [, whole = '', letter = '', fraction = '', tail = ''] = code;
    return head + whole + letterAsPoint(letter, whole) + fraction + tail;
  }
  const fraction = take(FRACTION)?.[0];
  if (fraction !== undefined) return `${head}${fraction}${unitFor(rest.trim(), manner)?.text ?? rest.trim()}`;
  const number = take(NUMBER)?.[0];
  if (number === undefined) return undefined;
  let amount = number;
  const behind = RANGE.exec(rest);
  const spelled = /^(\s?)([A-Za-z]{1,4})\s?-\s?(?=\d)/.exec(rest);
  if (behind !== null) {
    rest = rest.slice(behind[0].length);
    const to = take(NUMBER)?.[0];
    if (to === undefined) return undefined;
    amount += `-${to}`;
  } else if (spelled !== null) {
    // `430V-450V` says the unit twice.
    rest = rest.slice(spelled[0].length);
    const to = take(NUMBER)?.[0];
    if (to === undefined || rest.trim().toLowerCase() !== spelled[2]?.toLowerCase()) return undefined;
    amount += `-${to}`;
  }
  const written = rest.trim();
  if (written === '') return head + amount;
  const unit = unitFor(written, manner);
  if (unit === undefined) return undefined;
  const gap = isSpaced ? (rest.startsWith(' ') ? ' ' : '') : unit.isParted && manner === 'read' ? ' ' : '';
  return head + amount + gap + unit.text;
}

/** `4K7` is `4k7`; whether an M was mega or milli is not for a spelling to say. */
function letterAsPoint(letter: string, whole: string): string {
  switch (letter) {
    case 'r':
    case 'R':
      return 'R';
    case 'k':
    case 'K':
      return whole === '' ? letter : 'k';
    case 'N':
    case 'P':
    case 'U':
      return letter.toLowerCase();
    default:
      return letter;
  }
}

interface SpelledUnit {
  readonly text: string;
  /** Written with a space where a meter said it. */
  readonly isParted: boolean;
}

const WAVES: Readonly<Record<string, string>> = {
  dc: 'DC',
  ac: 'AC',
  rms: 'rms',
  acrms: 'rms',
  rmsac: 'rms',
  pp: 'pp',
  ptp: 'pp',
  pkpk: 'pp',
  pktopk: 'pp',
  peaktopeak: 'pp',
  pk: 'pk',
  peak: 'pk',
  p: 'pk',
};

/** Spellings of units without spaces, dots and hyphens in small letters; the first group is the prefix, the second the wave. */
const UNITS: readonly (readonly [RegExp, string, boolean])[] = [
  [/^(u|milli|m|k|)v(?:olts?)?((?:dc|ac|rms|p|pk|peak).*)?$/, 'V', true],
  [/^(p|n|u|milli|m|)a(?:mps?|mperes?)?((?:dc|ac|rms).*)?$/, 'A', true],
  [/^(milli|m|k|)w(?:atts?)?$/, 'W', true],
  [/^()(?:hz|hertz|cps)$/, 'Hz', true],
  [/^()(?:khz|kc)$/, 'kHz', true],
  [/^()mhz$/, 'MHz', true],
  [/^(n|u|milli|m|)s(?:ecs?|econds?)?$/, 's', true],
  [/^()min(?:s|utes?)?$/, 'min', true],
  [/^()db$/, 'dB', true],
  [/^()(?:r|ohms?)$/, 'R', false],
  [/^()k(?:ilo)?(?:r|ohms?)?$/, 'k', false],
  [/^()g(?:iga)?(?:r|ohms?)$/, 'G', false],
  [/^()megs?a?(?:r|ohms?)?$/, 'M', false],
  [/^()(?:mfds?|mf|uf|ufd|microfarads?)$/, 'uF', false],
  [/^()nfd?$/, 'nF', false],
  [/^()(?:pfd?|mmfds?|mmf|uufd?)$/, 'pF', false],
  [/^()u$/, 'u', false],
  [/^()n$/, 'n', false],
  [/^()p$/, 'p', false],
  [/^(n|u|milli|m|)h(?:y|enry|enrys|enries)?$/, 'H', false],
  [/^()(?:%|percent)$/, '%', false],
];

function unitFor(written: string, manner: Manner): SpelledUnit | undefined {
  const lower = written.toLowerCase().replace(/[\s.-]/g, '');
  if (/^(?:°c?|degc)$/.test(lower) || written === 'C') {
    if (manner === 'fitted') return { text: 'C', isParted: false };
    return written === 'C' ? undefined : { text: '°C', isParted: true };
  }
  // A working voltage is a rating of volts.
  if (manner === 'fitted' && /^(?:wv(?:dc)?|vdcw|dcwv)$/.test(lower)) return { text: 'V', isParted: false };
  if (/^m(?:r|ohms?)?$/.test(lower) && written.startsWith('M')) return { text: 'M', isParted: false };
  for (const [pattern, unit, isParted] of UNITS) {
    const found = pattern.exec(lower);
    if (found === null) continue;
    const [, prefix = '', wave] = found;
    const said = wave === undefined ? '' : WAVES[wave];
    if (said === undefined) return undefined;
    return { text: (prefix === 'milli' ? 'm' : prefix) + unit + said, isParted };
  }
  return undefined;
}
