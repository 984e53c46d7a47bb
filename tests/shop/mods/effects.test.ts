/** What a mod would do to the amplifier it was judged against: its effect change by change, and what it would break. */

import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { changeEffects, findOutcome, tellMod } from '../../../server/shop/mod-effects.ts';
import { englishShop } from '../../../server/shop/shop-words.ts';
import { A, C, judge, plain } from './alder.ts';

const loose = (body: string) => ({
  'mods/loose.tagstrip.md': `---\nsheet: mod\nname: loose\nwritten-for: ../chassis/a.tagstrip.md\n---\n# Loose\n\n${body}`,
});

async function outcome(on: string, body: string) {
  const { judged, analysis } = await judge(on, ['loose'], loose(body));
  const open = judged.mods[0]?.open ?? [];
  const found = findOutcome(open, analysis.amplifier, analysis.input);
  return {
    ...found,
    said: found.findings.map(({ severity, rule, subject }) => `${severity} ${rule} ${subject}`),
    message: plain(found.findings[0]?.message ?? ''),
  };
}

async function effects(on: string, body: string) {
  const { judged, analysis } = await judge(on, ['loose'], loose(body));
  const [first] = judged.mods[0]?.open ?? [];
  return first === undefined ? [] : changeEffects(first, analysis.amplifier, englishShop);
}

describe('a change that still applies', () => {
  it('is told on this board, direct current apart from the signal, with what was held', async () => {
    const [effect] = await effects(C, '- C1 = 25uF 25V, V1A.k to gnd -> 680n 63V film\n');
    expect(plain(effect?.signal ?? '')).toMatch(
      /^shelf 4\.24 to \S+ → 156 to \S+ Hz; .*level from V2A\.g to V2B\.g moved: 82 Hz −5/,
    );
    expect(effect?.direct).toContain('voltage margin');
    expect(effect?.heldAlways).toContain('every other part as on the chassis sheet');
    expect(effect?.held).toContain('VR1 at 5 (assumed)');
  });

  it('of a valve that is drawn half by half is told half by half', async () => {
    const found = await effects(A, '- V1 = 12AX7 -> 12AT7\n');
    expect(found).toHaveLength(2);
    expect(plain(found.map(({ signal }) => signal).join())).toMatch(
      /^V1A: gain 59\.3 → .*V1B: gain 52\.4 → /,
    );
  });

  it('that adds a part or takes one out has an effect too', async () => {
    const [bleeder] = await effects(A, '- R20 = 220k 2W metal film, B+1 to gnd\n');
    expect(plain(bleeder?.direct ?? '')).toMatch(/^dissipation none → 0\.4\d+ W/);
    const [bare] = await effects(A, '- C3 -> removed\n');
    expect(plain(bare?.signal ?? '')).toContain('step 6.67 dB → none');
  });
});

/** A single-ended amplifier whose drawing ends at the anode of its output valve. */
const SPARROW = `---
sheet: chassis
model: Sparrow 5
mains: 100/120/230/240 V 50/60 Hz
---
# Sparrow 5, chassis A

- T1 = mains 100V 120V 230V 240V 250-0-250V 80mA 6.3V 2A
- V3 = EZ80, T1 to B+

| Ref | Value | V | W | Kind | From | To |
|--|--|--|--|--|--|--|
| C1 | 32+32uF | 350 | | electrolytic | B+ | gnd |
| R9 | 1k | | 2 | ww | B+ | B+2 |
| R7 | 150R | | 1 | cc | V2.k | gnd |
| C5 | 25u | 25 | | | V2.k | gnd |
| R6 | 470k | | .5 | cf | V2.g | gnd |

- V2 = EL84

## Voltages
| Valve | a | g2 | k |
|---|---|---|---|
| V2 | 262 | 245 | 7.9 |
- B+ 270
`;

describe('a valve of which nobody wrote what it works into', () => {
  const BYPASS = '- C5 = 25u 25V -> 47u 35V\n';
  const judged = (on: string, body: string) =>
    judge(on, ['loose'], {
      'chassis/sparrow.tagstrip.md': on,
      'mods/loose.tagstrip.md': `---\nsheet: mod\nname: loose\nwritten-for: ../chassis/sparrow.tagstrip.md\n---\n# Loose\n\n${body}`,
    });
  const effectOn = async (on: string, body: string) => {
    const { judged: all, analysis } = await judged(on, body);
    const [first] = all.mods[0]?.open ?? [];
    return first && changeEffects(first, analysis.amplifier, englishShop)[0];
  };

  it('is told no level, and why', async () => {
    for (const change of [BYPASS, '- R7 = 150R 1W -> 180R 3W\n', '- C7 = 1n 1kV, V2.a to gnd\n']) {
      const effect = await effectOn(SPARROW, change);
      expect(effect?.held).toContain('no load is written at V2.a, so no level is told');
      expect(effect?.signal ?? '').not.toContain('level');
      expect(effect?.signal ?? '').not.toContain('corner');
    }
    // A transformer of which no impedance is said is no better.
    const effect = await effectOn(`${SPARROW}- OT = output, V2.a to B+\n`, BYPASS);
    expect(effect?.held).toContain('no load is written at V2.a, so no level is told');
    const { judged: all, analysis } = await judged(SPARROW, `${BYPASS}- R7 = 150R 1W -> 180R 3W\n`);
    const open = all.mods[0]?.open ?? [];
    expect(open).toHaveLength(2);
    expect(findOutcome(open, analysis.amplifier, analysis.input).levels).toEqual([]);
  });

  it('is told once the transformer is written: by hand 2.1 dB at 82 Hz', async () => {
    const written = SPARROW.replace(
      '- V2 = EL84\n',
      '- V2 = EL84\n- OT = output 5k : 4R 5W, V2.a, ct B+, LS1 on 4R\n- LS1 = 4R 10W\n',
    );
    const effect = await effectOn(written, BYPASS);
    expect(plain(effect?.signal ?? '')).toMatch(/level from V2\.g to V2\.a moved: 82 Hz \+2(?:\.\d)? dB/);
  });
});

describe('the signal with all changes of a mod done', () => {
  const moved = (levels: readonly { readonly change?: { readonly value: number } }[]) =>
    levels.map(({ change }) => change?.value ?? Number.NaN);

  it('is told from the first grid that it touches to the last, decibels of the stages added up', async () => {
    const bypass = '- C1 = 25uF 25V, V1A.k to gnd -> 680n 63V film\n';
    const coupling = '- C4 = 22n 400V film, V1B.a to V2.g -> 2n2 400V film\n';
    const { levels } = await outcome(A, bypass + coupling);
    expect(levels.map(({ from, at, refs }) => [from, at, refs])).toEqual([['V1A.g', 'V2.g', ['C1', 'C4']]]);
    // The shelf of a bypassed cathode, Av = µ Ra / (Ra + ra + (µ + 1) Zk), and the corner of 2.2 nF into 220 kΩ.
    const f = 82;
    const other = await outcome(A, `${bypass}- C3 = 25uF 25V, across R5 -> 24uF 25V\n`);
    const [shelf = 0] = moved(other.levels[0]?.levels ?? []);
    const corner = (c: number) => -10 * Math.log10(1 + (1 / (2 * Math.PI * f * c * 258e3)) ** 2);
    const [all = 0] = moved(levels[0]?.levels ?? []);
    expect(all - shelf).toBeCloseTo(corner(2.2e-9) - corner(22e-9), 1);
  });

  it('is nothing where one change undoes what the other does', async () => {
    const { levels } = await outcome(
      A,
      '- C4 = 22n 400V film, V1B.a to V2.g -> 10n 400V film\n- R7 = 220k 0.5W, V2.g to gnd -> 520k 0.5W\n',
    );
    const [both] = levels;
    expect(both?.refs).toEqual(['C4', 'R7']);
    // The corner stands; the lighter load is a few tenths of a decibel louder everywhere.
    const [low = 0, , , high = 0] = moved(both?.levels ?? []);
    expect(Math.abs(low - high)).toBeLessThan(0.05);
    expect(high).toBeGreaterThan(0);
  });

  it('counts both changes in what is heard at either of two grids that one stage drives', async () => {
    const both = A.replace(
      '- V2 = 6V6GT\n',
      '- V2 = 6V6GT\n- V4 = 6V6GT\n- C14 = 22n 400V film, V1B.a to V4.g\n- R17 = 220k 0.5W, V4.g to gnd\n',
    );
    const body = '- C4 = 22n 400V film -> 2n2 400V film\n- C14 = 22n 400V film -> 2n2 400V film\n';
    const others = { ...loose(body), 'chassis/a.tagstrip.md': both };
    const { judged, analysis } = await judge(both, ['loose'], others);
    const { levels } = findOutcome(judged.mods[0]?.open ?? [], analysis.amplifier, analysis.input);
    expect(levels.map(({ from, at, refs }) => [from, at, refs])).toEqual([
      ['V1B.g', 'V2.g', ['C4', 'C14']],
      ['V1B.g', 'V4.g', ['C4', 'C14']],
    ]);
  });

  it('has no word of its own where one change alone is heard', async () => {
    const { levels } = await outcome(
      A,
      '- C4 = 22n 400V film, V1B.a to V2.g -> 10n 400V film\n- R20 = 220k 2W metal film, B+1 to gnd\n',
    );
    expect(levels).toEqual([]);
  });
});

describe('what a mod would break', () => {
  it.each([
    ['a dissipation', '- R8 = 470R 5W -> 220R 5W wirewound\n', ['warning anode-over-dissipation V2']],
    ['a rectifier’s limit', '- C10 = 16uF 500V -> 100uF 500V\n', ['error reservoir-over-limit C10']],
    ['a working voltage', '- C12 = 16uF 500V -> 47uF 160V\n', ['error over-voltage C12']],
    ['a resistor’s watts', '- R8 = 470R 5W -> 560R 0.5W\n', ['error resistor-over-dissipation R8']],
    ['a valve’s volts', '- V2 = 6V6GT -> EL84\n', ['warning anode-over-voltage V2']],
    ['a grid’s return', '- R7 = 220k 0.5W -> 2M2 0.5W\n', ['warning grid-leak-over-limit R7']],
  ])('%s', async (_, body, expected) => {
    const { said, isSolved } = await outcome(A, body);
    expect(isSolved).toBe(true);
    expect(said).toEqual(expected);
  });

  it('is not known where the circuit cannot be solved, and that is said', async () => {
    const { said, isSolved } = await outcome(A, '- R8 -> removed\n');
    expect({ said, isSolved }).toEqual({ said: [], isSolved: false });
  });

  it('nothing, where every part is rated for it', async () => {
    expect((await outcome(A, '- R8 = 470R 5W -> 560R 7W wirewound\n')).said).toEqual([]);
    expect((await outcome(A, '- C1 = 25uF 25V -> 680n 63V film\n')).said).toEqual([]);
  });

  it('is told with its number and limit, and of no phase that a sheet has', async () => {
    const { message } = await outcome(C, '- R8 = 470R 5W -> 220R 5W wirewound\n');
    expect(message).toMatch(/^The anode of V1 dissipates 1\d\.\d W .*: 1\d\d % of 12 W/);
  });

  it('is not what the amplifier has already', async () => {
    const hot = A.replace('R8 = 470R 5W', 'R8 = 220R 5W');
    const { judged, analysis } = await judge(hot, ['loose'], {
      ...loose('- C1 = 25uF 25V -> 680n 63V film\n'),
      'chassis/hot.tagstrip.md': hot,
    });
    expect(findOutcome(judged.mods[0]?.open ?? [], analysis.amplifier, analysis.input).findings).toEqual([]);
  });

  it('counts all of its changes together, and names those that it could not put in', async () => {
    const { said, left, moves } = await outcome(
      A,
      '- R8 = 470R 5W -> 330R 5W\n- R10 = 470R 5W -> 47R 5W\n- R6 = 100k 1W -> 47k 1W, V1B.a to B+2\n',
    );
    expect(left.map(plain)).toEqual(['R6 100 kΩ 1 W → 47 kΩ 1 W']);
    expect(moves.map(({ subject }) => subject)).toContain('V2.k');
    expect(said).toContain('warning anode-over-dissipation V2');
  });

  it('goes by what was read, moved by what the solver says', async () => {
    // Read hotter than average valves would be: what is within the rating by the parts is over it by the meter.
    const read = `${A}\n## Voltages\n\nMains {mains: 230 V}, no signal.\n\n- V2: a 330, g2 310, k 23\n- B+1: 335\n`;
    const others = { ...loose('- R8 = 470R 5W -> 430R 5W\n'), 'chassis/read.tagstrip.md': read };
    const { judged, analysis } = await judge(read, ['loose'], others);
    const found = findOutcome(judged.mods[0]?.open ?? [], analysis.amplifier, analysis.input);
    expect(found.findings.map(({ rule }) => rule)).toContain('anode-over-dissipation');
    expect((await outcome(A, '- R8 = 470R 5W -> 430R 5W\n')).said).toEqual([]);
  });
});

describe('the samples', () => {
  const sample = (path: string) => readFileSync(new URL(`../../../samples/${path}`, import.meta.url), 'utf8');
  const LARCH = sample('chassis/larch-20.b.tagstrip.md');

  it('are found however the numbers of the board fall', async () => {
    const refs = [...new Set([...LARCH.matchAll(/\b[RC]\d+\b/g)].map(([ref]) => ref))].filter(
      (ref) => !/^R\d+R$/.test(ref),
    );
    const others = {
      'mods/tight-bass.tagstrip.md': sample('mods/tight-bass.tagstrip.md'),
      'chassis/larch-20.b.tagstrip.md': LARCH,
    };
    await fc.assert(
      fc.asyncProperty(fc.shuffledSubarray(refs, { minLength: refs.length }), async (shuffled) => {
        const names = new Map<string, string>();
        for (const letter of ['R', 'C']) {
          const theirs = shuffled.filter((ref) => ref.startsWith(letter));
          for (const [i, ref] of refs.filter((each) => each.startsWith(letter)).entries())
            names.set(ref, theirs[i] ?? ref);
        }
        const other = LARCH.replace(/\b[RC]\d+\b/g, (ref) => names.get(ref) ?? ref);
        const { judged } = await judge(other, ['tight-bass'], { ...others, 'chassis/x.tagstrip.md': other });
        for (const { change, ref, verdict } of judged.mods[0]?.changes ?? []) {
          expect(verdict).toBe('still applies');
          expect(ref).toBe(names.get(change.ref.name));
        }
      }),
      { numRuns: 3, seed: 8 },
    );
  });

  it('are told without a number that is none', async () => {
    const names = ['tight-bass', 'cool-output', 'presence'];
    const others = {
      ...Object.fromEntries(
        names.map((name) => [`mods/${name}.tagstrip.md`, sample(`mods/${name}.tagstrip.md`)]),
      ),
      'chassis/larch-20.b.tagstrip.md': LARCH,
    };
    const { judged, analysis } = await judge(LARCH, names, others);
    const said = JSON.stringify(
      judged.mods.map((mod) => {
        const { effects: own, outcome: all } = tellMod(mod, analysis.amplifier, analysis.input, englishShop);
        return [[...own.values()], all.moves.map(({ was, is }) => [was.quantity, is.quantity]), all.findings];
      }),
    );
    expect(said).not.toMatch(/NaN|Infinity|undefined|null/);
  });
});

describe('sheets that lack this and that', () => {
  const lines = C.split('\n').filter((line) => line.startsWith('- '));

  it('are judged without a fault, never by a part of another class, and told without a number that is none', async () => {
    await fc.assert(
      fc.asyncProperty(fc.subarray(lines), fc.boolean(), async (some, asJob) => {
        const front = asJob ? 'job: 1' : 'sheet: chassis\nmodel: Alder 5';
        const on = `---\n${front}\n---\n# Some\n\n${some.join('\n')}\n`;
        const { judged, analysis } = await judge(
          on,
          undefined,
          asJob ? {} : { 'chassis/some.tagstrip.md': on },
        );
        for (const mod of judged.mods) {
          for (const { part, change, why } of mod.changes) {
            if (part !== undefined) expect(part.class).toBe(change.ref.class);
            expect(why).not.toMatch(/undefined|NaN/);
          }
          const { moves, findings } = findOutcome(mod.open, analysis.amplifier, analysis.input);
          expect(JSON.stringify([moves.map(({ is }) => is.quantity), findings])).not.toMatch(
            /null|NaN|Infinity/,
          );
        }
      }),
      { numRuns: 12, seed: 3 },
    );
  });
});
