/** Owns the starter texts of new sheets, which are only text: with the editor's placeholders in them, and nothing else known here. */

import { asHeadValue } from './head.ts';

export type SheetKind = 'job' | 'chassis' | 'mod' | 'shop';

export interface Wanted {
  /** The day, as it is written in the head. */
  readonly day: string;
  /** The chassis sheet, as a path from the new sheet, where one is known: a made-up one would be missed. */
  readonly chassis: string | undefined;
}

/**
 * The text in which the editor's placeholders stand as `${1:words}`. Nothing in it can be taken for a reading, and nothing for work
 * that was done: cells are blank, and what is to be done is unticked.
 */
export function templateOf(kind: SheetKind, { day, chassis }: Wanted): string {
  const named = (place: number) =>
    chassis === undefined ? `$${place}` : `\${${place}:${escapeForPlaceholder(asHeadValue(chassis))}}`;
  switch (kind) {
    case 'job':
      return `---
job: \${1:number}
chassis: ${named(2)}
received: ${day}
---
# \${3:Amplifier, and whose}

## Complaint
\${4:In the owner’s words.}

## As found
Mains {mains: \${5:?} V}, \${6:dummy load, 15 min, no signal}.

| Valve | a | g2 | g | k |
| ----- | - | -- | - | - |
| \${7:V1}    |   |    |   |   |

$0

## Work
- [ ] plug out, discharged through 10k: B+1: ? V

## As left

## Owner

`;
    case 'chassis':
      return `---
sheet: chassis
model: \${1:model}
revision: \${2:a}
mains: \${3:230 V 50 Hz}
---
# \${4:Model, and its revision}

\${5:What it is: channels, output valves, power. What this sheet was drawn from.}

## Supply
$0

| Ref | Value | Rating | Kind | From | To  | What |
| --- | ----- | ------ | ---- | ---- | --- | ---- |
|     |       |        |      |      |     |      |

## Input stages

## Phase splitter

## Output

## Voltages
Mains {mains: \${6:?} V}, \${7:dummy load, 20 min, no signal}.

| Valve | a | g2 | g | k |
| ----- | - | -- | - | - |
|       |   |    |   |   |

`;
    case 'mod':
      return `---
sheet: mod
name: \${1:name}
purpose: \${2:what it is good for, in a sentence that an owner can read}
written-for: ${named(3)}
---
# \${4:What is changed}

## Why
\${5:What it cures or what it is meant to sound like, and what it costs.}

## Work
$0

| Ref | Was | Now | Why |
| --- | --- | --- | --- |
|     |     |     |     |

## Afterwards
\${6:What to read when it is done, and what that should be.}

`;
    case 'shop':
      return `---
sheet: shop
mains: \${1:230 V 50 Hz}
---
# \${2:House rules}

\${3:They govern every sheet in this folder and below it.}

## Conditions we read under
\${4:Dummy load, twenty minutes warm, no signal, volume at zero.}

$0
`;
  }
}

function escapeForPlaceholder(text: string): string {
  return text.replace(/[\\$}]/g, '\\$&');
}

/** The day by the clock on the wall, which is another than the day in Greenwich for some hours of each. */
export function dayOf(moment: Date): string {
  const two = (number: number) => String(number).padStart(2, '0');
  return `${moment.getFullYear()}-${two(moment.getMonth() + 1)}-${two(moment.getDate())}`;
}

/** The way from a folder to a file, as it is written in a head. */
export function pathFrom(folder: string, file: string): string {
  const from = folder.split('/').filter((name) => name !== '');
  const to = file.split('/').filter((name) => name !== '');
  let shared = 0;
  while (shared < from.length && shared < to.length - 1 && from[shared] === to[shared]) shared++;
  return [...from.slice(shared).map(() => '..'), ...to.slice(shared)].join('/');
}
