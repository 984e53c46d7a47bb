/** Going from name to name through the protocol: over sheets that are open, changed, or only on the disk. */
import { expect, it } from 'vitest';
import type { Location, SignatureHelp, WorkspaceEdit } from 'vscode-languageserver/node';
import { SHEET } from '../support/check.ts';
import { rangeOf, slice, withServer } from '../support/lsp-client.ts';

const CHASSIS_URI = 'file:///shop/chassis/larch.tagstrip.md';
const OTHER_URI = 'file:///shop/jobs/other.tagstrip.md';
const CHASSIS = '---\nsheet: chassis\n---\n- R17 = 470R 5W, V5.k to gnd\n';
const JOB = '---\nchassis: ../chassis/larch.tagstrip.md\n---\n{R17: 468R}, so R17 is well.\n';
const OTHER = '---\nchassis: ../chassis/larch.tagstrip.md\n---\n{R17: 471R}\n';
const texts: Readonly<Record<string, string>> = { [CHASSIS_URI]: CHASSIS, [SHEET]: JOB, [OTHER_URI]: OTHER };
const folder = { folder: 'file:///shop' };
const ASKING = {
  workspace: { workspaceEdit: { documentChanges: true, changeAnnotationSupport: {} } },
};
const at = (text: string, piece: string) => rangeOf(text, piece).start;

it('finds references on open and on closed sheets', () =>
  withServer(
    async (client) => {
      client.open(JOB);
      const found = await client.ask<Location[]>('textDocument/references', {
        textDocument: { uri: SHEET },
        position: at(JOB, 'R17 is'),
        context: { includeDeclaration: true },
      });
      expect(
        found.map(({ uri, range }) => `${uri.split('/').at(-1)} ${slice(texts[uri] ?? '', range)}`),
      ).toEqual([
        'job.tagstrip.md R17',
        'job.tagstrip.md R17',
        'larch.tagstrip.md R17',
        'other.tagstrip.md R17',
      ]);
      await client.rest();
    },
    texts,
    undefined,
    folder,
  ));

it('finds the jobs that rest on a chassis sheet, from its head', () =>
  withServer(
    async (client) => {
      client.open(CHASSIS, { uri: CHASSIS_URI });
      const found = await client.ask<Location[]>('textDocument/references', {
        textDocument: { uri: CHASSIS_URI },
        position: at(CHASSIS, 'sheet:'),
        context: { includeDeclaration: true },
      });
      expect(found.map(({ uri }) => uri)).toEqual([SHEET, OTHER_URI]);
      await client.rest();
    },
    texts,
    undefined,
    folder,
  ));

it('renames on all of them: what is open by its buffer and version, the rest with none, prose only when asked', () =>
  withServer(
    async (client) => {
      client.open(JOB, { version: 3 });
      client.open(`${OTHER}\nNot saved: {R17: 0 R}\n`, { uri: OTHER_URI, version: 7 });
      const edit = await client.ask<WorkspaceEdit>('textDocument/rename', {
        textDocument: { uri: SHEET },
        position: at(JOB, 'R17:'),
        newName: 'R18',
      });
      expect(edit.documentChanges).toMatchObject([
        { textDocument: { uri: SHEET, version: 3 }, edits: [{ newText: 'R18' }, { annotationId: 'prose' }] },
        { textDocument: { uri: CHASSIS_URI, version: null }, edits: [{ newText: 'R18' }] },
        { textDocument: { uri: OTHER_URI, version: 7 }, edits: [{ newText: 'R18' }, { newText: 'R18' }] },
      ]);
      expect(edit.changeAnnotations?.prose?.needsConfirmation).toBe(true);
      await client.rest();
    },
    texts,
    ASKING,
    folder,
  ));

it('leaves prose to an editor that cannot ask, and says so', () =>
  withServer(
    async (client) => {
      const told: string[] = [];
      client.connection.onNotification('window/showMessage', ({ message }: { message: string }) => {
        told.push(message);
      });
      client.open(JOB);
      const edit = await client.ask<WorkspaceEdit>('textDocument/rename', {
        textDocument: { uri: SHEET },
        position: at(JOB, 'R17:'),
        newName: 'R18',
      });
      expect(Object.values(edit.changes ?? {}).map((edits) => edits.length)).toEqual([1, 1, 1]);
      await client.rest();
      expect(told).toEqual([
        'R17 was renamed in tags. One bare word in prose may mean it too and was left: this editor cannot ask before it changes them.',
      ]);
    },
    texts,
    { workspace: {} },
    folder,
  ));

it('refuses before the new name is typed where it would refuse afterwards, with the same reason', () =>
  withServer(
    async (client) => {
      client.open(JOB);
      const params = { textDocument: { uri: SHEET }, position: at(JOB, 'R17:') };
      const reason = /larch\.tagstrip\.md cannot be read/;
      await expect(client.ask('textDocument/prepareRename', params)).rejects.toThrow(reason);
      await expect(client.ask('textDocument/rename', { ...params, newName: 'R18' })).rejects.toThrow(reason);
      await expect(
        client.ask('textDocument/prepareRename', { ...params, position: at(JOB, 'so') }),
      ).rejects.toThrow(/no part here/);
      await client.rest();
    },
    { [SHEET]: JOB },
    undefined,
    folder,
  ));

it('answers nothing in old offsets when a sheet changes while others are read', () =>
  withServer(
    async (client, disk) => {
      client.open(JOB);
      await client.rest();
      disk.hold(OTHER_URI);
      const asked = client.ask('textDocument/rename', {
        textDocument: { uri: SHEET },
        position: at(JOB, 'R17:'),
        newName: 'R18',
      });
      const expected = expect(asked).rejects.toThrow('the sheet has changed');
      await client.rest();
      client.change(2, [{ text: 'short' }]);
      await client.rest();
      disk.release();
      await expected;
      await client.rest();
    },
    texts,
    ASKING,
    folder,
  ));

it('is up to date after files changed on the disk', () =>
  withServer(
    async (client, disk) => {
      client.open(JOB);
      const params = {
        textDocument: { uri: SHEET },
        position: at(JOB, 'R17:'),
        context: { includeDeclaration: false },
      };
      const count = async () => (await client.ask<Location[]>('textDocument/references', params)).length;
      expect(await count()).toBe(3);
      disk.texts.set(OTHER_URI, OTHER.replace('R17', 'R16'));
      client.changedOnDisk(OTHER_URI);
      await client.rest();
      expect(await count()).toBe(2);
      await client.rest();
    },
    texts,
    undefined,
    folder,
  ));

it('shows sheets, folds, colours and links', () =>
  withServer(
    async (client) => {
      client.open(JOB);
      const about = { textDocument: { uri: SHEET } };
      const found = await client.ask<{ name: string; location: Location }[]>('workspace/symbol', {
        query: 'r17',
      });
      expect(found.map(({ name, location: { uri } }) => `${name} ${uri}`)).toEqual([`R17 ${CHASSIS_URI}`]);
      expect(await client.ask('textDocument/foldingRange', about)).toEqual([
        { startLine: 0, endLine: 2, kind: 'region' },
      ]);
      expect(await client.ask('textDocument/documentLink', about)).toMatchObject([{ target: CHASSIS_URI }]);
      const tokens = await client.ask<{ data: number[] }>('textDocument/semanticTokens/full', about);
      // {R17: 468R}, so R17 is well.
      expect(tokens.data).toEqual([3, 1, 3, 0, 0, 0, 3, 1, 7, 0, 0, 2, 4, 3, 0, 0, 10, 3, 0, 2]);
      const range = { start: { line: 3, character: 12 }, end: { line: 4, character: 0 } };
      expect(await client.ask('textDocument/semanticTokens/range', { ...about, range })).toEqual({
        data: [3, 16, 3, 0, 2],
      });
      await client.rest();
    },
    texts,
    undefined,
    folder,
  ));

it('links nothing that is not there', () =>
  withServer(
    async (client) => {
      client.open(JOB);
      expect(await client.ask('textDocument/documentLink', { textDocument: { uri: SHEET } })).toEqual([]);
      await client.rest();
    },
    { [SHEET]: JOB },
  ));

it('offers paths to sheets that are there, and the form of a tag', () =>
  withServer(
    async (client) => {
      const text = '---\nchassis: \n---\n{R20 = 470R \n';
      client.open(text);
      const offered = await client.completion({ line: 1, character: 9 });
      expect(offered.map(({ label }) => label)).toEqual(['../chassis/larch.tagstrip.md']);
      const form = await client.ask<SignatureHelp>('textDocument/signatureHelp', {
        textDocument: { uri: SHEET },
        position: { line: 3, character: 12 },
      });
      expect(form).toMatchObject({
        signatures: [{ label: 'R20 = value rating kind, X to Y' }],
        activeParameter: 1,
      });
      await client.rest();
    },
    texts,
    undefined,
    folder,
  ));
