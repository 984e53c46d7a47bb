/** Owns the texts that have brought other readers to their knees. */

/** Lines that differ, so that no piece is remembered from another. */
const lines = (count: number, line: (i: number) => string): string =>
  Array.from({ length: count }, (_, i) => line(i)).join('');

/** Each costs time in proportion to its length; `n` says how long. */
export const LINEAR: readonly (readonly [string, (n: number) => string])[] = [
  ['bullets, a line each', (n) => lines(n, (i) => `- a${i}\n`)],
  ['brackets of a link that never closes', (n) => `# [foo](bar${'()'.repeat(n)}`],
  ['backtick runs of growing length', (n) => lines(Math.floor(Math.sqrt(n * 4)), (i) => `e${'`'.repeat(i)}`)],
  ['pipes', (n) => '|'.repeat(n)],
  ['rows of a table', (n) => `| a |\n|---|\n${lines(n, (i) => `| R${i} |\n`)}`],
  ['rows of a chart', (n) => `| Valve | a |\n|---|---|\n${lines(n, (i) => `| V1 | ${i} |\n`)}`],
  ['opening brackets', (n) => lines(n / 50, () => `${'['.repeat(100)}\n`)],
  ['empty brackets', (n) => '[]'.repeat(n)],
  ['less-than signs', (n) => lines(n / 50, () => `${'< > <a '.repeat(50)}\n`)],
  ['braces that open and never close', (n) => lines(n / 50, () => `${'{R1 '.repeat(50)}\n`)],
  ['a brace that never closes', (n) => `{R1: ${'4 '.repeat(n)}`],
  ['cells with a brace that never closes', (n) => `| a |\n|---|\n${lines(n, () => '| {R1 |\n')}`],
  ['a long run of signs behind a part', (n) => `- R3 = 100k, ${'('.repeat(n)}`],
  ['commas behind a part', (n) => `- R3 = 100k, ${',-'.repeat(n)}`],
  ['a tag of many values', (n) => `{R1: ${'4, '.repeat(n)}}`],
  ['a tag of many parts', (n) => `{${'R1, '.repeat(n)}R2}`],
  ['an item of many readings', (n) => `- V5: ${lines(n / 8, (i) => `a ${300 + (i % 50)}, `)}k 12`],
  ['an item of many words', (n) => `- R1 = 1k ${'word '.repeat(n)}`],
  ['an item of many brackets', (n) => `- R1: 4k7 ${'('.repeat(n)}`],
  ['digits and commas', (n) => `- R1: ${'1,'.repeat(n)}`],
  ['money', (n) => lines(n / 50, () => `${'$a '.repeat(50)}\n`)],
  ['fences with blank lines in them', (n) => lines(n / 8, (i) => `\`\`\`\n\na${i}\n\`\`\`\n`)],
  ['comments with blank lines in them', (n) => lines(n / 8, (i) => `<!--\n\na${i}\n-->\n`)],
  ['character data that all but closes', (n) => lines(n / 8, (i) => `<![CDATA[\n\na${i} ]]]>\n\n`)],
  ['a fence that never closes', (n) => `\`\`\`\n${lines(n / 4, (i) => `a${i}\n\nb\n`)}`],
  ['HTML that never closes', (n) => `<!--\n${lines(n / 4, (i) => `a${i}\n\nb\n`)}`],
  [
    'definitions, each used far away',
    (n) => lines(n / 8, (i) => `[d${i}]: x\n\n`) + lines(n / 8, (i) => `see [d${i}]\n\n`),
  ],
  ['quotes in quotes', (n) => lines(n / 50, (i) => `${'> '.repeat(90)}a${i}\n`)],
  ['character references', (n) => '&amp;'.repeat(n)],
  ['escaped braces', (n) => '\\{'.repeat(n)],
  ['one paragraph', (n) => lines(n, (i) => `a R${i} b\n`)],
];

/** Whatever the size, these are over a limit. */
export const REFUSED: readonly (readonly [string, string])[] = [
  ['bullets in one line', `${'- '.repeat(5000)}a`],
  ['lists nested by indentation', lines(800, (i) => `${'  '.repeat(i)}- a\n`)],
  ['links in links', '[a](b'.repeat(16_000)],
  ['links in links, a line each', '[a](b\n'.repeat(16_000)],
  ['comments that never close', lines(100, () => `x ${'<!-- a '.repeat(50)}\n`)],
  ['titles that never close', lines(1900, () => '[a](b (c\n')],
  ['emphasis that never closes', '*a_'.repeat(6000)],
  ['emphasis that never closes, in lines', '*a_ *a_ *a_\n'.repeat(6000)],
  ['half a megabyte of angle brackets in one line', '<a>'.repeat(170_000)],
  [
    'a table of more than a million characters',
    `| a |\n|---|\n${'| some words in a cell of it |\n'.repeat(40_000)}`,
  ],
];
