/** A job says the same whichever jobs on its chassis sheet were read before it: what is shared with them is no other than its own. */
import { expect, it } from 'vitest';
import { memoryFiles } from '../../server/shop/files.ts';
import { type Analysis, createShop } from '../../server/shop/shop.ts';
import { manySheets } from '../perf/many-sheets.ts';

/** All that is known of the amplifier in each phase, and what is found. */
function told({ findings, amplifier }: Analysis): unknown {
  const { changes, states, seen, repeats } = amplifier;
  return {
    findings,
    changes,
    states,
    seen,
    repeats,
    phases: amplifier.phases.map((view) => ({
      phase: view.phase,
      parts: [...view.parts.values()],
      roles: [...view.roles.values()],
      nodes: view.circuit.nodes.map((node) => [node, view.circuit.attached(node)]),
      verdictSet: view.verdictSet,
      readings: view.readings,
      nominals: view.nominals,
      figures: view.figures,
      offers: view.offers,
      unanswered: view.unanswered,
    })),
  };
}

const CHASSIS = `---
sheet: chassis
model: Larch 20
---

# Larch 20

- T1 = mains 290-0-290V 150mA 6.3V 4A
- D1-D4 = 1N4007, T1 to B+1
- C11 = 47uF 500V electrolytic, B+1 to gnd
- R23 = 10k 2W, B+1 to B+2
- C12 = 22uF 500V electrolytic, B+2 to gnd
- V1A, V1B = 12AX7
- V2 = 12AX7
- R4 = 100k 1W, V1A.a to B+2
- R3 = 1k5 0.5W, V1A.k to gnd
- C2 = 22uF 25V electrolytic, across R3
- R5 = 100k, V2.6 to B+2
- R6 = 1k5, V2.8 to gnd
- V3 = EL84
- R19 = 150R 5W, V3.k to gnd
- R21 = 1k 1W, B+1 to V3.g2
- T2 = output 5k2 : 8R, V3.a, B+1, LS1 on 8R

- B+1: 320 V
- V1A: a 190, k 1.5
- V3: a 310, g2 305, k 7.3
`;

const JOBS: Readonly<Record<string, string>> = {
  plain: '- B+1: 322 V\n- V1A: a 188, k 1.52\n- V3: a 311, g2 306, k 7.4',
  'other mains': '{mains: 246 V}\n\n- B+1: 341 V\n- V3: a 330, g2 325, k 7.9',
  'a renumbered part': '- R44: was R3\n- R44: 1k52\n- V1A: k 1.5',
  'a renumbered valve': '- V4: was V2\n- V4.6: 191 V',
  'a section that the chassis sheet does not name': '- V2A: a 188, k 1.4\n- V2A: pin 6 188',
  'pins that the chassis sheet does not name': '- V2.1: 190 V\n- V2.3: 1.4 V',
  'a valve that the chassis sheet does not have': '- V7B: a 200\n- V7 = 12AT7',
  changes:
    '- R4: 131k\n- C12: 12uF\n\n## Work\n\n- R4: 131k -> 100k 1W\n- C12 -> 22uF 500V\n- V3 -> EL84 new\n\n## As left\n\n- B+1: 318 V\n- V3: k 7.2',
  'another type': '- V3: k 7.3\n\n## Work\n\n- V3: EL84 -> 6V6\n\n## As left\n\n- V3: k 13',
  'a part fitted elsewhere': '- R3 = 2k2 0.5W\n- R4 = 100k, V1B.a to B+2\n- V1B.a = B+1',
  'measurements alone': '- R19: 152R\n- R23: open',
  'nothing at all': 'It hums.',
};

function shopOf(files: Readonly<Record<string, string>>) {
  return createShop({ files: memoryFiles(files), isReadOnce: () => true });
}

async function expectAlike(files: Readonly<Record<string, string>>, uris: readonly string[]): Promise<void> {
  const shared = shopOf(files);
  for (const uri of uris) {
    const [one, alone] = [await shared.analyse(uri), await shopOf(files).analyse(uri)];
    if (one === undefined || alone === undefined) throw new Error(`${uri} is not there`);
    expect(told(one), uri).toEqual(told(alone));
    shared.letGo(uri);
  }
}

it('says of each job after all others on its chassis sheet what it says alone', async () => {
  const files: Record<string, string> = { 'file:///shop/chassis.tagstrip.md': CHASSIS };
  const uris: string[] = [];
  for (const [what, text] of Object.entries(JOBS)) {
    const uri = `file:///shop/${what.replaceAll(' ', '-')}.tagstrip.md`;
    files[uri] = `---\nchassis: chassis.tagstrip.md\n---\n\n# ${what}\n\n## As found\n\n${text}\n`;
    uris.push(uri);
  }
  await expectAlike(files, [...uris, 'file:///shop/chassis.tagstrip.md', ...[...uris].reverse()]);
});

it('says the same of the jobs of a large shop', async () => {
  const files = Object.fromEntries(manySheets(180).map(({ path, text }) => [`file:///shop/${path}`, text]));
  // Three on each of a few chassis sheets.
  const byChassis = new Map<string, string[]>();
  for (const [uri, text] of Object.entries(files)) {
    const chassis = /^chassis: (.*)$/m.exec(text)?.[1];
    if (chassis !== undefined) byChassis.set(chassis, [...(byChassis.get(chassis) ?? []), uri]);
  }
  const jobs = [...byChassis.values()].filter((on) => on.length > 2).slice(0, 3);
  expect(jobs).toHaveLength(3);
  await expectAlike(
    files,
    jobs.flatMap((on) => on.slice(0, 3)),
  );
});
