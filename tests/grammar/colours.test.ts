/** What an editor colours: tags, wherever Markdown lets them be, and nothing else. */
import { beforeAll, describe, expect, it } from 'vitest';
import type { IGrammar } from 'vscode-textmate';
import { coloured, INJECTION, loadGrammar } from './tokens.ts';

let grammar: IGrammar;
beforeAll(async () => {
  grammar = await loadGrammar();
});

describe('the colours of a tag', () => {
  it('tell refs, terminals, signs, values and words apart', () => {
    expect(
      coloured(grammar, 'Found {R17 = 470R 5W wirewound, V5.k to gnd} and {B+1: 19 Vpp}.'),
    ).toMatchInlineSnapshot(`
      [
        "{  punctuation.definition.tag.begin",
        "R17  variable.other.ref",
        "=  keyword.operator",
        "470R  constant.numeric.value",
        "5W  constant.numeric.value",
        "wirewound,  meta",
        "V5  variable.other.ref",
        ".  punctuation.accessor",
        "k  variable.other.member",
        "to  keyword.other",
        "gnd  support.constant.point",
        "}  punctuation.definition.tag.end",
        "{  punctuation.definition.tag.begin",
        "B+1  variable.other.rail",
        ":  keyword.operator",
        "19 Vpp  constant.numeric.value",
        "}  punctuation.definition.tag.end",
      ]
    `);
  });

  it('show a change', () => {
    expect(coloured(grammar, '{C12 = 10uF 25V -> 1uF 50V film}')).toMatchInlineSnapshot(`
      [
        "{  punctuation.definition.tag.begin",
        "C12  variable.other.ref",
        "=  keyword.operator",
        "10uF  constant.numeric.value",
        "25V  constant.numeric.value",
        "->  keyword.operator.change",
        "1uF  constant.numeric.value",
        "50V  constant.numeric.value",
        "film  meta",
        "}  punctuation.definition.tag.end",
      ]
    `);
  });

  it('show what is accepted, kept and asked', () => {
    expect(
      coloured(
        grammar,
        "{accept screen-over-voltage V5: maker's design} {keep C41: wish} {? (B+1 - V1A.a) / R6}",
      ),
    ).toMatchInlineSnapshot(`
      [
        "{  punctuation.definition.tag.begin",
        "accept  keyword.other",
        "screen-over-voltage  meta",
        "V5  variable.other.ref",
        ":  keyword.operator",
        "maker's design  meta",
        "}  punctuation.definition.tag.end",
        "{  punctuation.definition.tag.begin",
        "keep  keyword.other",
        "C41  variable.other.ref",
        ":  keyword.operator",
        "wish  meta",
        "}  punctuation.definition.tag.end",
        "{  punctuation.definition.tag.begin",
        "?  keyword.operator",
        "(  meta",
        "B+1  variable.other.rail",
        "-  meta",
        "V1A  variable.other.ref",
        ".  punctuation.accessor",
        "a  variable.other.member",
        ") /  meta",
        "R6  variable.other.ref",
        "}  punctuation.definition.tag.end",
      ]
    `);
  });

  it('go on over a soft line break and stop at a blank line', () => {
    expect(coloured(grammar, 'a {C14:\n4n4} b')).toEqual(
      expect.arrayContaining(['4n4  constant.numeric.value']),
    );
    expect(coloured(grammar, 'a {C14:\n\nR5 4n4} b')).toEqual([
      '{  punctuation.definition.tag.begin',
      'C14  variable.other.ref',
      ':  keyword.operator',
    ]);
  });

  it.each(['# Fault {C14}', '**the {C14}**', '[see {C14}](a.md)', '| V4 | {C14} |', '> {C14}'])(
    'are seen in %j',
    (text) => {
      expect(coloured(grammar, text)).toContain('C14  variable.other.ref');
    },
  );

  it.each([
    'a {x} and {some words} and {Rx}',
    '{tail: -1.2 V} is only known to be a tag beside the sheet',
    '{{R1}} {% R1 %} {# R1 #} {+R1+}',
    '\\{R1: 4}',
    '`{R1: 4}`',
    '```\n{R1: 4}\n```',
    '<!-- {R1: 4} -->',
    '[a]({R1})',
    'R1: 4',
    '{R1a2} {MR1} {r1} {keeper} {accepted} {HTX}',
  ])('are not seen in %j', (text) => {
    expect(coloured(grammar, text)).toEqual([]);
  });
});

describe('the grammar itself', () => {
  it('has no quantifier inside a quantified group, which could take for ever', () => {
    const patterns = JSON.stringify(INJECTION).match(/"(?:match|begin|end)":"(?:[^"\\]|\\.)*"/g) ?? [];
    expect(patterns.length).toBeGreaterThan(5);
    for (const each of patterns) {
      const pattern = JSON.parse(`{${each}}`) as Record<string, string>;
      for (const source of Object.values(pattern)) expect(nestedQuantifier(source), source).toBe(false);
    }
  });
});

/** Whether some group that is repeated has an unbounded quantifier in it. */
function nestedQuantifier(source: string): boolean {
  const plain = source.replace(/\\./g, 'x').replace(/\[[^\]]*\]/g, 'x');
  const groups = plain.match(/\([^()]*\)[*+]/g) ?? [];
  return groups.some((group) => /[*+]|\{\d+,\}/.test(group.slice(1, -2).replace(/^\?[:=!<]+/, '')));
}
