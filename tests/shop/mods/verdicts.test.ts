/** Mod sheets against three revisions of an invented amplifier and jobs on it: how each change stands, and why. */
import { describe, expect, it } from 'vitest';
import { sayOpenChanges } from '../../../server/shop/mod-words.ts';
import { englishShop } from '../../../server/shop/shop-words.ts';
import { A, B, C, judge, plain, sayEvidence, sayMod, told } from './alder.ts';

const job = (body: string, front = '') =>
  `---\njob: 7\nchassis: ../chassis/a.tagstrip.md\n${front}---\n# The loud one\n\n${body}`;
/** A mod sheet that was written for no sheet. */
const loose = (body: string) => ({
  'mods/loose.tagstrip.md': `---\nsheet: mod\nname: loose\n---\n# Loose\n\n${body}`,
});

describe('the revision that the mods were written for', () => {
  it('has everything still to do, and tells which mods stand against each other', async () => {
    expect(await told(A)).toEqual([
      'bass-shelf: conflicts, 2 of 2 open',
      '  C1 still applies: C1 (cathode bypass of V1A) is 25 µF 25 V electrolytic',
      '  C3 conflicts: C3 (cathode bypass of V1B) is 25 µF 25 V electrolytic; mod no-bypass takes C3 out, so only one of the two can be done',
      'cool-output: conflicts, 1 of 1 open',
      '  R8 conflicts: R8 (cathode resistor of V2) is 470 Ω 5 W wirewound; mod hot-output makes R8 220 Ω 5 W wirewound, so only one of the two can be done',
      'hot-output: conflicts, 1 of 1 open',
      '  R8 conflicts: R8 (cathode resistor of V2) is 470 Ω 5 W wirewound; mod cool-output makes R8 560 Ω 7 W wirewound, so only one of the two can be done',
      'firm-supply: still applies, 1 of 1 open',
      '  C10 still applies: C10 (reservoir) is 16 µF 500 V electrolytic',
      'bleeder: still applies, 1 of 1 open',
      '  R20 still applies: nothing of that kind sits between B+1 and gnd',
      'no-bypass: conflicts, 1 of 1 open',
      '  C3 conflicts: C3 (cathode bypass of V1B) is 25 µF 25 V electrolytic; mod bass-shelf makes C3 680 nF 63 V film, so only one of the two can be done',
    ]);
  });
});

describe('a later revision', () => {
  it('has what the factory did, lacks what it took out, and has its own value where it chose another', async () => {
    expect(await told(B)).toEqual([
      'bass-shelf: done at factory, 0 of 2 open',
      '  C1 done at factory: C1 is 680 nF 63 V film',
      '  C3 not applicable: nothing between V1B.k and gnd here does what C3 of Alder 5, revision a does (cathode bypass of V1B)',
      'cool-output: not applicable, 0 of 1 open',
      '  R8 not applicable: R8 is 510 Ω 5 W wirewound, and the mod changes 470 Ω 5 W',
      'hot-output: not applicable, 0 of 1 open',
      '  R8 not applicable: R8 is 510 Ω 5 W wirewound, and the mod changes 470 Ω 5 W',
      'firm-supply: still applies, 1 of 1 open',
      '  C10 still applies: C10 (reservoir) is 16 µF 500 V electrolytic',
      'bleeder: done at factory, 0 of 1 open',
      '  R20 done at factory: R20 is 220 kΩ 2 W',
      'no-bypass: done at factory, 0 of 1 open',
      '  C3 done at factory: nothing between V1B.k and gnd here does what C3 of Alder 5, revision a does (cathode bypass of V1B)',
    ]);
  });

  it('says where each verdict can be read', async () => {
    const { judged, analysis } = await judge(B, ['bass-shelf', 'no-bypass']);
    const [shelf, none] = judged.mods;
    expect(shelf?.changes[0]?.evidence.map((each) => sayEvidence(each, analysis))).toEqual([
      'b.tagstrip.md line 20: it is C1 of Alder 5, revision a, cathode bypass of V1A: matched by place and role',
    ]);
    expect(none?.changes[0]?.evidence.map((each) => sayEvidence(each, analysis))).toEqual([
      'b.tagstrip.md line 1: by Alder 5, revision b',
    ]);
  });
});

describe('a revision that follows another', () => {
  const next = (body: string) =>
    `---\nsheet: chassis\nmodel: Alder 5\nrevision: d\nfollows: a.tagstrip.md\n---\n# Alder 5, revision d\n\n${body}`;
  const on = (body: string) => told(next(body), ['bass-shelf'], { 'chassis/d.tagstrip.md': next(body) });

  it('of which a part was not looked at leaves that open; what it fits itself was', async () => {
    expect(await on('{C1, C3: not seen}\n\n- C3 = 1uF 63V film\n')).toEqual([
      'bass-shelf: unknown, 0 of 2 open',
      '  C1 unknown: C1 (cathode bypass of V1A) is 25 µF 25 V electrolytic by the sheets, and nobody has looked at it on this one',
      '  C3 not applicable: C3 is 1 µF 63 V film, and the mod changes 25 µF 25 V',
    ]);
  });

  it('has its parts under the names that it gives them', async () => {
    expect(await on('- C7: was C1\n- C1: was C3\n')).toEqual([
      'bass-shelf: still applies, 2 of 2 open',
      '  C1 (C7) still applies: C7 (cathode bypass of V1A) is 25 µF 25 V electrolytic',
      '  C3 (C1) still applies: C1 (cathode bypass of V1B) is 25 µF 25 V electrolytic',
    ]);
  });
});

describe('a board with other numbers', () => {
  it('has each change at the part that does the same, never at the ref', async () => {
    expect(await told(C, ['bass-shelf', 'cool-output', 'firm-supply', 'bleeder'])).toEqual([
      'bass-shelf: still applies, 2 of 2 open',
      '  C1 (C4) still applies: C4 (cathode bypass of V2A) is 25 µF 25 V electrolytic',
      '  C3 (C1) still applies: C1 (cathode bypass of V2B) is 25 µF 25 V electrolytic',
      'cool-output: still applies, 1 of 1 open',
      '  R8 (R5) still applies: R5 (cathode resistor of V1) is 470 Ω 5 W wirewound',
      'firm-supply: still applies, 1 of 1 open',
      '  C10 (C20) still applies: C20 (reservoir) is 16 µF 500 V electrolytic',
      'bleeder: still applies, 1 of 1 open',
      // R20 is the first dropper of this board.
      '  R20 (R22) still applies: nothing of that kind sits between B+1 and gnd; R20 is another part here, so it is called R22',
    ]);
  });

  it('of which only a part is drawn is not guessed at', async () => {
    const part = C.split('\n')
      .filter((line) => !/^- (?:V2A|R[1378] |C[456] |VR1|V2B)/.test(line))
      .join('\n');
    const [whole, first] = await told(part, ['bass-shelf'], { 'chassis/part.tagstrip.md': part });
    expect(whole).toBe('bass-shelf: unknown, 0 of 2 open');
    expect(first).toBe(
      '  C1 unknown: nothing but the ref says that C1 here is C1 of Alder 5, revision a, cathode bypass of V1A',
    );
  });
});

describe('a job', () => {
  it('on which it was done, planned, or done otherwise', async () => {
    const body =
      '## Work\n\n- C1 = 25uF 25V -> 680n 63V film\n- [ ] C3 -> 680n 63V film\n- R8 = 470R 5W -> 330R 5W\n- R20 = 220k 2W, B+1 to gnd\n';
    expect(await told(job(body), ['bass-shelf', 'no-bypass', 'cool-output', 'bleeder'])).toEqual([
      'bass-shelf: still applies, 1 of 2 open',
      '  C1 already done: C1 is 680 nF 63 V film, fitted on this visit',
      '  C3 still applies: C3 (cathode bypass of V1B) is 25 µF 25 V electrolytic',
      'no-bypass: conflicts, 0 of 1 open',
      '  C3 conflicts: C3 is planned to be 680 nF 63 V film',
      'cool-output: conflicts, 0 of 1 open',
      '  R8 conflicts: R8 is 330 Ω 5 W, and the mod changes 470 Ω 5 W: fitted on this visit',
      'bleeder: already done, 0 of 1 open',
      '  R20 already done: R20 is 220 kΩ 2 W, fitted on this visit',
    ]);
    const { judged } = await judge(job(body), ['bass-shelf']);
    expect(judged.mods[0]?.changes[1]?.planned).toBeDefined();
  });

  it('on which somebody else had done it, and a part that nobody looked at', async () => {
    const body = '## As found\n\n- C1 = 680n 50V film\n- C3: not seen\n- R8 = 300R 5W\n';
    expect(await told(job(body), ['bass-shelf', 'cool-output'])).toEqual([
      'bass-shelf: unknown, 0 of 2 open',
      '  C1 already done: C1 is 680 nF 50 V film, there before this visit, but its working voltage is below what the mod asks for',
      '  C3 unknown: C3 (cathode bypass of V1B) is 25 µF 25 V electrolytic by the sheets, and nobody has looked at it on this one',
      'cool-output: conflicts, 0 of 1 open',
      '  R8 conflicts: R8 is 300 Ω 5 W, and the mod changes 470 Ω 5 W: somebody fitted that before this visit',
    ]);
  });

  it('on which the part was looked at says so, and one fitted since counts as seen', async () => {
    const { judged, analysis } = await judge(
      job('## As found\n\n- C1: as drawn\n- C3: not seen\n\n## Work\n\n- C3 = 25uF 25V -> 680n 63V film\n'),
      ['bass-shelf'],
    );
    const [first, second] = judged.mods[0]?.changes ?? [];
    expect(first?.evidence.map((each) => sayEvidence(each, analysis))).toEqual([
      'a.tagstrip.md line 20: C1 as written',
      'this.tagstrip.md line 9: looked at: as drawn',
    ]);
    expect(second?.verdict).toBe('already done');
  });

  it('whose writer says otherwise: that holds, and both show', async () => {
    const body =
      '## Work\n\n- mod bass-shelf: declined, likes it thick\n- mod cool-output: already done\n- mod bleeder: n/a, tag board too small\n\n## Declined\n\nThe firm-supply.\n';
    const { judged } = await judge(job(body));
    expect(judged.mods.map(sayMod)).toEqual([
      'bass-shelf: declined by the sheet, still applies by the parts, 0 of 2 open',
      'cool-output: already done by the sheet, still applies by the parts, 0 of 1 open',
      'hot-output: still applies, 1 of 1 open',
      'firm-supply: declined by the sheet, still applies by the parts, 0 of 1 open',
      'bleeder: not applicable by the sheet, still applies by the parts, 0 of 1 open',
      'no-bypass: still applies, 1 of 1 open',
    ]);
    expect(judged.mods[0]?.writer?.why).toBe('likes it thick');
  });

  it('whose owner keeps a part as it is', async () => {
    expect(await told(job('{keep C1: owner wants it stock}\n'), ['bass-shelf'])).toEqual([
      'bass-shelf: still applies, 1 of 2 open',
      '  C1 declined: C1 is to stay: owner wants it stock',
      '  C3 still applies: C3 (cathode bypass of V1B) is 25 µF 25 V electrolytic',
    ]);
  });

  it('that returns an earlier one has what was done then', async () => {
    const before = job(
      '## Work\n\n- C1 -> 680n 63V film\n- R20 = 220k 2W, B+1 to gnd\n- mod no-bypass: declined\n',
    ).replace('job: 7', 'job: 6');
    const now = job('## As found\n\n- V2.k: 20 V\n', 'returns: before.tagstrip.md\n');
    const others = { 'jobs/before.tagstrip.md': before };
    expect(await told(now, ['bass-shelf', 'bleeder', 'no-bypass'], others)).toEqual([
      'bass-shelf: still applies, 1 of 2 open',
      '  C1 already done: C1 is 680 nF 63 V film, fitted on the earlier visit (job 6)',
      '  C3 still applies: C3 (cathode bypass of V1B) is 25 µF 25 V electrolytic',
      'bleeder: already done, 0 of 1 open',
      '  R20 already done: R20 is 220 kΩ 2 W, fitted on the earlier visit (job 6)',
      'no-bypass: declined by the sheet, still applies by the parts, 0 of 1 open',
      '  C3 still applies: C3 (cathode bypass of V1B) is 25 µF 25 V electrolytic',
    ]);
  });
});

describe('what a mod needs', () => {
  const needs = async (on: string, names: readonly string[]) =>
    (await judge(on, names)).judged.mods[0]?.needs.map(({ name, state, why }) => `${name} ${state}: ${why}`);

  it.each([
    ['was done at the factory', B, ['firm-supply', 'bleeder'], 'bleeder met: done at the factory'],
    ['is still to do', A, ['firm-supply', 'bleeder'], 'bleeder open: still applies'],
    [
      'is known to nobody',
      A,
      ['firm-supply'],
      'bleeder unknown: no sheet of that name was given, and nothing says that it was done',
    ],
    [
      'was done, as the writer says',
      job('- mod bleeder: already done\n'),
      ['firm-supply'],
      'bleeder met: already done, as the sheet says',
    ],
  ])('%s', async (_, on, names, expected) => {
    expect(await needs(on, names)).toEqual([expected]);
  });

  it('in words is kept as words', async () => {
    const others = {
      'mods/loose.tagstrip.md':
        '---\nsheet: mod\nname: loose\nneeds: [bleeder, two 5 W wirewounds]\nconflicts: bass-shelf\n---\n# Loose\n\n- R8 = 470R 5W -> 390R 5W (cathode resistor of the output valve)\n',
    };
    const { judged } = await judge(A, ['loose', 'bass-shelf'], others);
    expect(judged.mods[0]?.facts.needs).toEqual(['bleeder']);
    expect(judged.mods[0]?.facts.needsToo).toEqual(['two 5 W wirewounds']);
    expect(judged.mods.map(({ clashes }) => clashes.map(({ why }) => why))).toEqual([
      ['not together with mod bass-shelf'],
      ['not together with mod loose'],
    ]);
  });
});

describe('mods that touch one place', () => {
  it('with other parts are to be judged together', async () => {
    const others = loose('- R3 = 1k5 0.5W -> 820R 0.5W (cathode resistor of the first stage)\n');
    const { judged } = await judge(A, ['loose', 'bass-shelf', 'cool-output'], others);
    expect(
      judged.mods.map(({ meets }) => meets.map(({ mod, places }) => `${mod} at ${places.join()}`)),
    ).toEqual([['bass-shelf at V1A.k'], ['loose at V1A.k'], []]);
  });
});

describe('a mod that was written for no sheet', () => {
  it.each([
    ['by ref and value alone', '- C1 = 25uF 25V -> 680n 63V film\n', 'unknown', 'unknown'],
    ['by ref, place and value', '- C1 = 25uF 25V, V1A.k to gnd -> 680n 63V film\n', 'C1', 'unknown'],
    [
      'by the role in words',
      '- C1 = 25uF 25V -> 680n 63V film (cathode bypass of the first stage)\n',
      'C1',
      'C4',
    ],
    [
      'by the output valve’s',
      '- R8 = 470R 5W -> 560R 7W - cathode resistor of the output valve\n',
      'R8',
      'R5',
    ],
    ['by a role that there is once', '- C10 = 16uF -> 32uF 500V (reservoir)\n', 'C10', 'C20'],
    ['by a valve’s', '- V3 = 5Y3GT -> GZ34 (the rectifier)\n', 'V3', 'V3'],
    ['by a role that there is twice', '- C1 = 25uF 25V -> 1uF 63V (cathode bypass)\n', 'unknown', 'unknown'],
    [
      'by words that only begin as a role',
      '- C10 = 16uF -> 32uF 500V (reservoir was noisy)\n',
      'unknown',
      'unknown',
    ],
    ['by a role before a comma', '- C10 = 16uF -> 32uF 500V (reservoir, the tall can)\n', 'C10', 'C20'],
    [
      'by a column of a table',
      '| Ref | Was | Does | Now |\n| - | - | - | - |\n| C1 | 25uF 25V | cathode bypass of the first stage | 680n 63V |\n',
      'C1',
      'C4',
    ],
    ['by a role that there is not', '- C1 -> 1uF 63V (snubber)\n', 'unknown', 'unknown'],
  ])('%s', async (_, body, onA, onC) => {
    const found = async (on: string) => {
      const change = (await judge(on, ['loose'], loose(body))).judged.mods[0]?.changes[0];
      return change?.verdict === 'still applies' ? change.ref : change?.verdict;
    };
    expect([await found(A), await found(C)]).toEqual([onA, onC]);
  });

  it('adds parts only where its names proved to be those of the board', async () => {
    const body = '- C1 = 25uF 25V, V1A.k to gnd -> 680n 63V film\n- R40 = 220k 2W, B+1 to gnd\n';
    expect((await told(A, ['loose'], loose(body)))[2]).toBe(
      '  R40 still applies: nothing of that kind sits between B+1 and gnd',
    );
    expect((await told(C, ['loose'], loose(body)))[2]).toContain(
      'R40 unknown: the mod was written for no sheet',
    );
  });
});

describe('an amplifier of which too little is written', () => {
  const gone = (body: string) => job(body).replace('a.tagstrip.md', 'gone.tagstrip.md');

  it('whose chassis sheet cannot be read lacks nothing for that', async () => {
    // The board with other numbers, but for its first stage and the output valve's cathode.
    const seen = '- V2 6V6GT: a 310, 40 mA\n- C5 = 25uF 50V, V2.k to gnd\n- V1B = 12AX7\n';
    expect(await told(gone(`## As found\n\n${seen}`), ['cool-output', 'no-bypass', 'bleeder'])).toEqual([
      'cool-output: unknown, 0 of 1 open',
      '  R8 unknown: a sheet that this one rests on cannot be read, so what sits between V2.k and gnd is not known',
      'no-bypass: unknown, 0 of 1 open',
      '  C3 unknown: a sheet that this one rests on cannot be read, so what sits between V1B.k and gnd is not known',
      'bleeder: unknown, 0 of 1 open',
      '  R20 unknown: where B+1 of the mod is here cannot be told',
    ]);
    const [, bleeder] = await told(gone('## As found\n\n- C10 = 16uF 500V, B+1 to gnd\n'), ['bleeder']);
    expect(bleeder).toBe(
      '  R20 unknown: a sheet that this one rests on cannot be read, so what sits between B+1 and gnd is not known',
    );
  });

  it('that is only a valve with its readings says nothing of what hangs on it', async () => {
    const bare = '---\njob: 9\n---\n# Bare\n\n## As found\n\n- V2 6V6GT: a 310, k 19\n- V3 = 5Y3GT\n';
    expect(await told(bare, ['cool-output'])).toEqual([
      'cool-output: unknown, 0 of 1 open',
      '  R8 unknown: nothing is written of what sits between V2.k and gnd',
    ]);
  });
});

describe('a mod that puts in what it takes out', () => {
  const renewal = {
    'mods/fresh.tagstrip.md':
      '---\nsheet: mod\nname: fresh\nwritten-for: ../chassis/a.tagstrip.md\n---\n# Fresh\n\n- C10 = 16uF 500V -> 16uF 500V electrolytic\n',
  };

  it('leaves no trace on the chassis sheet, and one in the job that did it', async () => {
    const kind = { 'mods/fresh.tagstrip.md': renewal['mods/fresh.tagstrip.md'].replace(' electrolytic', '') };
    expect((await told(A, ['fresh'], kind))[1]).toBe(
      '  C10 unknown: C10 (reservoir) is 16 µF 500 V electrolytic; the mod puts in what it takes out, and nothing written shows whether that was done',
    );
    const done = job('## Work\n\n- C10 = 16uF 500V -> 16uF 500V\n');
    expect((await told(done, ['fresh'], kind))[1]).toBe(
      '  C10 already done: C10 is 16 µF 500 V, fitted on this visit',
    );
  });

  it('under another name goes by the name that is written', async () => {
    const names = {
      'mods/tough.tagstrip.md':
        '---\nsheet: mod\nname: tough\nwritten-for: ../chassis/el.tagstrip.md\n---\n# Tough\n\n- V2 = EL84 -> 7189\n',
      'chassis/el.tagstrip.md': A.replace('V2 = 6V6GT', 'V2 = EL84'),
    };
    expect((await told(names['chassis/el.tagstrip.md'], ['tough'], names))[1]).toBe(
      '  V2 still applies: V2 is EL84',
    );
    const other = A.replace('V2 = 6V6GT', 'V2 = 7189');
    expect((await told(other, ['tough'], { ...names, 'chassis/other.tagstrip.md': other }))[1]).toBe(
      '  V2 done at factory: V2 is 7189',
    );
  });
});

describe('diodes in the place of a rectifier valve', () => {
  const silicon = {
    'mods/silicon.tagstrip.md':
      '---\nsheet: mod\nname: silicon\nwritten-for: ../chassis/a.tagstrip.md\n---\n# Silicon\n\n- V3 -> removed\n- D1, D2 = 1N4007, T1 to B+1\n',
  };
  const on = (body: string) =>
    A.replace('- V3 = 5Y3GT, T1 to B+1\n', body).replace('revision: a', 'revision: s');

  it.each([
    [
      '- D1, D2 = 1N4007, T1 to B+1\n',
      'D1 done at factory: D1 is 1N4007',
      'D2 done at factory: D2 is 1N4007',
    ],
    [
      '- D7, D8 = 1N4007, T1 to B+1\n',
      'D1 (D7) done at factory: D7 is 1N4007',
      'D2 (D8) done at factory: D8 is 1N4007',
    ],
    [
      '- D7 = 1N4007, T1 to B+1\n',
      'D1 (D7) done at factory: D7 is 1N4007',
      'D2 still applies: nothing of that kind sits between T1 and B+1',
    ],
  ])('are each one part of the board: %j', async (body, first, second) => {
    const board = on(body);
    const said = await told(board, ['silicon'], { ...silicon, 'chassis/s.tagstrip.md': board });
    expect(said.slice(2)).toEqual([`  ${first}`, `  ${second}`]);
  });
});

describe('what decides', () => {
  const one = async (was: string, body: string) => {
    const on = A.replace('R8 = 470R 5W wirewound', `R8 = ${was}`);
    const others = {
      'chassis/other.tagstrip.md': on,
      'mods/loose.tagstrip.md': `---\nsheet: mod\nname: loose\nwritten-for: ../chassis/a.tagstrip.md\n---\n# Loose\n\n${body}`,
    };
    const change = (await judge(on, ['loose'], others)).judged.mods[0]?.changes[0];
    return plain(`${change?.verdict}: ${change?.why}`);
  };

  it.each([
    ['a rating, where the value stays', '470R 5W', '- R8 = 470R 5W -> 470R 10W', /^still applies/],
    ['and one that is met', '470R 10W', '- R8 = 470R 5W -> 470R 10W', /^done at factory/],
    [
      'and one that nobody wrote',
      '470R',
      '- R8 = 470R 5W -> 470R 10W',
      /^unknown: .*rated watts of the mod is not written/,
    ],
    ['an old value for a new one', '500R 5W', '- R8 = 470R 5W -> 560R 7W', /^still applies/],
    ['a neighbour in the series is another', '430R 5W', '- R8 = 470R 5W -> 560R 7W', /^not applicable/],
    ['the new value', '560R 7W', '- R8 = 470R 5W -> 560R 7W', /^done at factory/],
    ['no value before', '470R 5W', '- R8 -> 560R 7W', /^still applies/],
    [
      'no value on the chassis',
      '5W',
      '- R8 = 470R 5W -> 560R 7W',
      /^unknown: R8 is there, but what it is is not written/,
    ],
    ['work that leaves no trace', '470R 5W', '- R8 -> resoldered', /^unknown/],
  ])('%s', async (_, was, body, expected) => {
    expect(await one(was, body)).toMatch(expected);
  });
});

describe('a mod that was written for several sheets', () => {
  const others = (writtenFor: string, body: string) => ({
    'mods/both.tagstrip.md': `---\nsheet: mod\nname: both\nwritten-for: ${writtenFor}\n---\n# Both\n\n${body}`,
  });

  it('goes by the one that it is held against, and where that leaves it open by the other', async () => {
    const both = '[../chassis/a.tagstrip.md, ../chassis/c.tagstrip.md]';
    // C1 of revision a is the bypass of the first cathode; C1 of revision c is that of the second.
    const byA = '- C1 = 25uF 25V, V1A.k to gnd -> 680n 63V film\n';
    expect((await told(A, ['both'], others(both, byA)))[1]).toMatch(/^ {2}C1 still applies/);
    expect((await told(C, ['both'], others(both, byA)))[1]).toMatch(/^ {2}C1 \(C4\) still applies/);
    expect((await told(B, ['both'], others(both, byA)))[1]).toBe(
      '  C1 done at factory: C1 is 680 nF 63 V film',
    );
  });

  it('whose ref means two parts on them is not guessed at, unless it says where', async () => {
    const both = '[../chassis/a.tagstrip.md, ../chassis/c.tagstrip.md]';
    const bare = '- C1 = 25uF 25V -> 680n 63V film\n';
    expect((await told(C, ['both'], others(both, bare)))[1]).toBe(
      '  C1 unknown: C1 is not one part on Alder 5, revision c and Alder 5, revision a, and the mod does not say where the one that it means sits',
    );
    // The ref is revision a's, whose C1 is the first stage's: of revision c that is C4.
    const first = '- C1 = 25uF 25V -> 680n 63V film (cathode bypass of the first stage)\n';
    expect((await told(C, ['both'], others(both, first)))[1]).toMatch(/^ {2}C1 \(C4\) still applies/);
    const said = '- C1 = 25uF 25V -> 680n 63V film (cathode bypass of the second stage)\n';
    expect((await told(C, ['both'], others(both, said)))[1]).toMatch(
      /^ {2}C1 still applies: C1 \(cathode bypass of V2B\)/,
    );
  });

  it('of which none can be read is one that was written for none', async () => {
    const gone = others(
      '../chassis/gone.tagstrip.md',
      '- C10 = 16uF -> 32uF 500V (reservoir)\n- C1 -> 1uF 63V\n',
    );
    expect(await told(C, ['both'], gone)).toEqual([
      'both: still applies, 1 of 2 open',
      '  C10 (C20) still applies: C20 (reservoir) is 16 µF 500 V electrolytic',
      '  C1 unknown: the mod was written for no sheet that can be read, and says no role to find the part by',
    ]);
  });
});

describe('a mod sheet that is written as', () => {
  const sheet = (body: string) => ({
    'mods/t.tagstrip.md': `---\nsheet: mod\nname: t\nwritten-for: ../chassis/a.tagstrip.md\n---\n# T\n\n${body}`,
  });

  it.each([
    [
      'tasks to be ticked off',
      '- [ ] C1 = 25uF 25V -> 680n 63V film\n- [ ] R25 = 220k 2W, B+1 to gnd\n',
      'nothing of that kind sits between B+1 and gnd',
    ],
    [
      'a table with places in any column',
      '| Ref | Was | Now | From | To |\n| - | - | - | - | - |\n| C1 | 25uF 25V | 680n 63V film | V1A.k | gnd |\n\n- R25 = 220k 2W, B+1 to gnd\n',
      'nothing of that kind sits between B+1 and gnd',
    ],
  ])('%s says the same', async (_, body, added) => {
    expect(await told(C, ['t'], sheet(body))).toEqual([
      't: still applies, 2 of 2 open',
      '  C1 (C4) still applies: C4 (cathode bypass of V2A) is 25 µF 25 V electrolytic',
      `  R25 still applies: ${added}`,
    ]);
  });

  it('a part changed twice has its first state before and its last behind', async () => {
    const twice = '- C1 = 25uF 25V -> 1uF 63V\n\nBetter still:\n\n- C1 = 1uF 63V -> 680n 63V film\n';
    expect(await told(C, ['t'], sheet(twice))).toEqual([
      't: still applies, 1 of 1 open',
      '  C1 (C4) still applies: C4 (cathode bypass of V2A) is 25 µF 25 V electrolytic',
    ]);
    expect((await told(B, ['t'], sheet(twice)))[0]).toBe('t: done at factory, 0 of 1 open');
  });
});

describe('a value that is there with too small a rating', () => {
  it('is counted as such where the whole is told', async () => {
    const low = A.replace('C1 = 25uF 25V electrolytic', 'C1 = 0.68uF 50V film').replace(
      'C3 = 25uF 25V electrolytic',
      'C3 = 0.68uF 63V film',
    );
    const { judged } = await judge(low, ['bass-shelf'], { 'chassis/low.tagstrip.md': low });
    expect(judged.mods.map((each) => sayOpenChanges(each, englishShop))).toEqual([
      'both changes done at the factory, 1 of them rated below what the mod asks for',
    ]);
  });
});

describe('what a mod adds in a row', () => {
  const control = {
    'mods/control.tagstrip.md':
      '---\nsheet: mod\nname: control\nwritten-for: ../chassis/a.tagstrip.md\n---\n# Cut\n\n- C30 = 4n7 400V film, V2.a to cut\n- VR3 = 50k log, cut to gnd, wiper to gnd\n',
  };

  it('is tied to the amplifier over what it adds before', async () => {
    expect(await told(C, ['control'], control)).toEqual([
      'control: still applies, 2 of 2 open',
      '  C30 still applies: nothing of that kind sits at V1.a',
      '  VR3 still applies: it hangs on what the mod adds',
    ]);
  });

  it('is found where somebody did it under other names', async () => {
    const done = `${C}- C41 = 4n7 630V film, V1.a to treb\n- VR7 = 50k log, treb to gnd, wiper to gnd\n`;
    expect(await told(done, ['control'], { ...control, 'chassis/d.tagstrip.md': done })).toEqual([
      'control: done at factory, 0 of 2 open',
      '  C30 (C41) done at factory: C41 is 4.7 nF 630 V film',
      '  VR3 (VR7) done at factory: VR7 is 50 kΩ log',
    ]);
  });
});
