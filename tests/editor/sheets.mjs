// The files that the checks open: samples by their names, and what is put beside them before the editor starts.

export const HOT_VALVE = 'jobs/2047-larch-20-hot-valve.tagstrip.md';
/** A sheet with something to find, which no check opens. */
export const NEVER_OPENED = '2117-larch-20-waiting.tagstrip.md';
export const BENCH = 'jobs/bench.tagstrip.md';

/** A job and its chassis sheet, on which nothing else rests. */
export const ALDER = 'jobs/alder.tagstrip.md';
export const ALDER_CHASSIS = 'chassis/alder-5.a.tagstrip.md';

/** A Markdown file that is no sheet, with words that would mean something in one. */
export const ORDINARY = { file: 'ordinary.md', text: 'An ordinary page' };

/** The sheet that is open when the checks begin, and what is seen of it. */
export const FIRST = { file: HOT_VALVE, text: 'Larch 20, blue cloth' };

export const SHEETS = {
  [ORDINARY.file]: `# An ordinary page

It speaks of {V5: a 347} and of {mains: 236 V}.
`,
  [ALDER_CHASSIS]: `---
sheet: chassis
model: Alder 5
revision: a
---
# Alder 5

- V1 = 6V6GT
- R7 = 470R 5W, V1.k to gnd
`,
  [ALDER]: `---
chassis: ../chassis/alder-5.a.tagstrip.md
---
# Alder 5, on its side

## As found
- R7: 471R

Paint on {R7} is brown.
`,
  [BENCH]: `# Larch 20, on the bench

## As found
Mains {mains: 236 V}, dummy load, 20 min, no signal.

- V5 = 6V6GT
- R18 = 270R 5W
- R17 = 1,500
- C12 = 22n 630V film, V5.g to gnd

Words about {C12} here.
`,
};
