/** The colours and the reader must agree on which braces open a tag, or an editor would show what is not so. */
import { beforeAll, expect, it } from 'vitest';
import type { IGrammar } from 'vscode-textmate';
import { findPartClass } from '../../server/dialect/letters.ts';
import { opensTag } from '../../server/dialect/tag.ts';
import { coloured, loadGrammar } from './tokens.ts';

let grammar: IGrammar;
beforeAll(async () => {
  grammar = await loadGrammar();
});

const LETTERS = 'ABCDEFGHIJKLMNOPQRSTUVWXYZ';
const one = [...LETTERS];
const two = one.flatMap((first) => one.map((second) => first + second));
const classes = [...one, ...two, 'POT', 'OPT', 'ABC'];

it.each([
  'R17',
  'R17 = 470R',
  'V5.a: 331 V',
  'V1A',
  'V1-A',
  'V1a',
  'C5A: 4n4',
  'PT',
  'LS',
  'OT: 3R',
  'B+',
  'B+1: 352 V',
  'B-',
  'HT',
  'HT+2',
  'gnd',
  'mains: 236 V',
  '? B+1 - 1 V',
  'accept heater-over-voltage V1',
  'keep C41: wish',
  ' R17 ',
  'R4-R31',
  'R1, R2',
  '',
  ' ',
  'x',
  'Rx',
  'r17',
  'R',
  'V',
  'RR17',
  'R17x',
  'R17_',
  'the R17',
  '{R17',
  '%R17',
  '#R17',
  '+R17',
  '/R17',
  '.R17',
  '12AX7',
  '17R',
  'keeper C41',
  'acceptable',
  'HTML',
  'BB+',
  'words of mine',
  'R12345',
  '1: 2',
  'Mains',
  'GND',
  'earth to chassis: 0.1R',
  'heaters: 6.2 V',
  'line of thought',
  'chassis number 7',
])('on {%s}', (inside) => {
  expect(coloured(grammar, `x {${inside}} y`).length > 0).toBe(opensTag(inside, 0, inside.length));
});

it('on all class letters', () => {
  // With a number behind it, HT is a rail.
  const wrong = classes.filter((letters) => {
    if (letters === 'HT') return false;
    const isColoured = coloured(grammar, `x {${letters}1} y`).length > 0;
    return isColoured !== (findPartClass(letters) !== undefined);
  });
  expect(wrong).toEqual([]);
});
