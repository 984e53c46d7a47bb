/** Mods through the protocol: a hover and an action that speak of sheets which are open, changed, or only on the disk. */
import { describe, expect, it } from 'vitest';
import { applyEdits } from '../../server/text/edits.ts';
import { createSnapshot, offsetAt } from '../../server/text/snapshot.ts';
import { A, C, MODS, plain } from '../shop/mods/alder.ts';
import { SHEET } from '../support/check.ts';
import { type Client, rangeOf, withServer } from '../support/lsp-client.ts';

const MOD = 'file:///shop/mods/bass-shelf.tagstrip.md';
const JOB =
  '---\nchassis: ../chassis/c.tagstrip.md\n---\n# Loud\n\n## Work\n\n- mod bass-shelf: still applies\n';
const texts: Readonly<Record<string, string>> = {
  'file:///shop/chassis/a.tagstrip.md': A,
  'file:///shop/chassis/c.tagstrip.md': C,
  [MOD]: MODS['bass-shelf'] ?? '',
  [SHEET]: JOB,
};
const folder = { folder: 'file:///shop' };
const startOf = (text: string, piece: string) => rangeOf(text, piece).start;

async function hovered(client: Client, text: string, piece: string, uri = SHEET): Promise<string> {
  const found = await client.ask<{ contents: { value: string } } | null>('textDocument/hover', {
    textDocument: { uri },
    position: startOf(text, piece),
  });
  return plain(found?.contents.value ?? 'nothing');
}

describe('a job’s line on a mod', () => {
  it('is told from the mod sheet on the disk, then from its buffer', () =>
    withServer(
      async (client) => {
        client.open(JOB);
        expect(await hovered(client, JOB, 'mod bass')).toContain('both changes are open');
        const other = texts[MOD]?.replace('- C3 = 25uF 25V, across R5 -> 680n 63V film\n', '') ?? '';
        client.open(other, { uri: MOD });
        expect(await hovered(client, JOB, 'mod bass')).toContain('its one change is open');
        await client.rest();
      },
      texts,
      undefined,
      folder,
    ));

  it('offers to write the mod, which is then not offered again', () =>
    withServer(
      async (client) => {
        client.open(JOB);
        const range = rangeOf(JOB, 'mod bass-shelf');
        const title = 'Write the changes of mod bass-shelf that still apply (2 tasks)';
        const action = (await client.actions(range)).find((each) => each.title === title);
        expect(action?.kind).toBe('refactor.rewrite');
        const [change] = action?.edit?.documentChanges ?? [];
        const edits = change !== undefined && 'edits' in change ? change.edits : [];
        const snapshot = createSnapshot(SHEET, JOB);
        const after = applyEdits(
          JOB,
          edits.flatMap((each) =>
            'newText' in each
              ? [
                  {
                    span: {
                      start: offsetAt(snapshot, each.range.start),
                      end: offsetAt(snapshot, each.range.end),
                    },
                    text: each.newText,
                  },
                ]
              : [],
          ),
        );
        expect(after).toBe(
          `${JOB}- [ ] C4 = 25uF 25V electrolytic -> 680n 63V film (mod bass-shelf)\n- [ ] C1 = 25uF 25V electrolytic -> 680n 63V film (mod bass-shelf)\n`,
        );
        client.change(2, [{ text: after }]);
        const again = await client.actions(rangeOf(after, 'mod bass-shelf: still'));
        expect(again.map((each) => each.title)).not.toContain(title);
        await client.rest();
      },
      texts,
      undefined,
      folder,
    ));
});

it('a change on a mod sheet tells how it stands on every revision of the model', () =>
  withServer(
    async (client) => {
      const text = texts[MOD] ?? '';
      client.open(text, { uri: MOD });
      const said = await hovered(client, text, 'C1 =', MOD);
      expect(said).toContain('Alder 5, revision a: still applies: C1');
      expect(said).toContain('Alder 5, revision c: here C4, still applies: C4');
      // A line that changes nothing waits for no other sheet.
      expect(await hovered(client, text, '# bass-shelf', MOD)).toBe('nothing');
      await client.rest();
    },
    texts,
    undefined,
    folder,
  ));
