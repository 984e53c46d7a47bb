/** Owns how valve types are spelled: normal form, double names, suffixes, names with a story of their own, and likeness. */

/** `ecc 83`, `ECC-83` and `ECC83` are one name. */
export function normalName(text: string): string {
  return text
    .normalize('NFKC')
    .toUpperCase()
    .replace(/[\s\-‐-―−._'"’“”()/,=]+/gu, '');
}

/** The names in a double name: `ECC83/12AX7`, `12AX7 (ECC83)`; with spaces only where nothing else separates them. */
export function namesIn(text: string): readonly string[] {
  const separators = /[/(),=]/u.test(text) ? /[/(),=]+/u : /\s+/u;
  return text
    .split(separators)
    .map((name) => name.trim())
    .filter((name) => name !== '');
}

/** What makers put behind a type: up to four letters (`WA`, `WGTA`, `S`), or set off by a hyphen or space also digits (`-R2`). */
const SUFFIX = /^[A-Z]{1,4}\+?$/;
const SUFFIX_SET_OFF = /[\s\-‐-―]([A-Z][A-Z0-9]{0,3}\+?)$/;

/** The longest of `names` (in normal form) that the text begins with, if what is left is a suffix. */
export function splitSuffix(
  text: string,
  names: Iterable<string>,
): { readonly known: string; readonly suffix: string } | undefined {
  const name = normalName(text);
  let known = '';
  for (const candidate of names) {
    if (candidate.length > known.length && name.startsWith(candidate)) known = candidate;
  }
  const suffix = name.slice(known.length);
  const isSuffix = SUFFIX.test(suffix) || SUFFIX_SET_OFF.exec(text.trim().toUpperCase())?.[1] === suffix;
  return known !== '' && isSuffix ? { known, suffix } : undefined;
}

const SPECIAL_QUALITY =
  'is a special-quality version with a sheet of its own; the limits of the plain type are used.';
const INDUSTRIAL_TWIN = 'is the industrial version of the same valve, with a sheet of its own.';

/** Names that resolve to a valve but are not quite it. From memory, unverified. */
const REMARKS: Readonly<Record<string, string>> = {
  '7025': 'The 7025 is the low-hum 12AX7; its later sheet allows 330 V and 1.2 W (design-maximum).',
  '6681': `The 6681 ${SPECIAL_QUALITY}`,
  E83CC: `The E83CC ${SPECIAL_QUALITY}`,
  ECC803S: `The ECC803S ${SPECIAL_QUALITY}`,
  '6201': `The 6201 ${SPECIAL_QUALITY}`,
  E81CC: `The E81CC ${SPECIAL_QUALITY}`,
  '6189': `The 6189 ${SPECIAL_QUALITY}`,
  E82CC: `The E82CC ${SPECIAL_QUALITY}`,
  EF806S: `The EF806S ${SPECIAL_QUALITY}`,
  '6072': `The 6072 ${INDUSTRIAL_TWIN}`,
  '6072A': `The 6072A ${INDUSTRIAL_TWIN}`,
  '7189':
    'The 7189 is an EL84 with higher voltage ratings on a sheet of its own; the lower limits of the EL84 are used.',
  '6CA7':
    'Some valves marked 6CA7 are beam tetrodes without a suppressor grid; the limits of the EL34 are used.',
  '6L6': '6L6 without a suffix is taken as the 19 W type (6L6, 6L6G); write 6L6GC where one is fitted.',
  '6L6GB': 'The 6L6GB is taken as a 6L6G (19 W).',
  '6L6WGB': 'The 6L6WGB is taken as a 5881; makes differ between 20.5 and 26 W.',
  '6L6WGA': 'The 6L6WGA is taken as a 5881; look at the maker’s sheet.',
  '6L6WGC': 'The 6L6WGC is taken as a 6L6GC; valves of either rating are sold under this number.',
  '6V6': '6V6 without a suffix is taken as 6V6GT (design-centre).',
  '6SN7': '6SN7 without a suffix is taken as 6SN7GT (design-centre).',
  '6SN7GTA': 'The 6SN7GTA is taken as a 6SN7GTB, which differs in heater warm-up.',
  '5U4': '5U4 without a suffix is taken as 5U4G.',
  '5V4GA': 'The 5V4GA is taken as a 5V4G; editions differ in the first capacitor that they allow.',
  GZ32: 'The GZ32 is taken as a 5V4G; its own sheet allows more current.',
};

/** What is to be said of a name (normal form) besides which valve it is. */
export function remarkOnName(name: string): string | undefined {
  return Object.hasOwn(REMARKS, name) ? REMARKS[name] : undefined;
}

/** How many letters must be put in, left out, replaced or swapped with a neighbour to make `b` of `a`. */
export function spellingDistance(a: string, b: string): number {
  let before: number[] = [];
  let last = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    for (let j = 1; j <= b.length; j++) {
      const same = a[i - 1] === b[j - 1];
      let best = Math.min((last[j] ?? 0) + 1, (row[j - 1] ?? 0) + 1, (last[j - 1] ?? 0) + (same ? 0 : 1));
      const isSwap = i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1];
      if (isSwap) best = Math.min(best, (before[j - 2] ?? 0) + 1);
      row.push(best);
    }
    before = last;
    last = row;
  }
  return last[b.length] ?? a.length;
}
