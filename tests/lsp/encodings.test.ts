/** Editors that count in UTF-8 bytes, in UTF-16 units or in code points each get, and are understood in, their own counting. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createPlaces } from '../../server/lsp/positions.ts';
import { createSnapshot } from '../../server/text/snapshot.ts';
import { withServer } from '../support/lsp-client.ts';

const ROW = '| 🔥 R1 | 47 µF |';
const TEXT = `# Job 🔥\r\n\r\n| Part | Value |\r\n| --- | --- |\r\n${ROW}\r\n\r\n🔥 {R17 = 1,500} µ {V5 6V6GT: a 331, 60 mA}\r\n`;

/** How each counts a piece of text. */
const COUNTS: Readonly<Record<string, (text: string) => number>> = {
  'utf-8': (text) => Buffer.byteLength(text, 'utf8'),
  'utf-16': (text) => text.length,
  'utf-32': (text) => [...text].length,
};

const places = (text: string, count: (text: string) => number, piece: string) => {
  const at = text.indexOf(piece);
  const before = text.slice(0, at).split(/\r\n|\r|\n/);
  const character = count(before.at(-1) ?? '');
  const line = before.length - 1;
  return { start: { line, character }, end: { line, character: character + count(piece) } };
};

describe.each(Object.entries(COUNTS))('an editor that counts in %s', (encoding, count) => {
  const capabilities = {
    general: { positionEncodings: [encoding] },
    workspace: { workspaceEdit: { documentChanges: true } },
  };

  it('is told where things are, and understood', () =>
    withServer(
      async (client) => {
        expect(client.capabilities.positionEncoding).toBe(encoding);
        client.open(TEXT);
        const { diagnostics } = await client.next();
        expect(diagnostics.map(({ code, range }) => [code, range])).toEqual([
          ['value-ambiguous', places(TEXT, count, '1,500')],
          ['anode-over-dissipation', places(TEXT, count, '60 mA')],
        ]);
        const hover = await client.hover(places(TEXT, count, 'V5').start);
        expect(hover?.range).toEqual(places(TEXT, count, 'V5'));
        const [fix] = await client.actions(places(TEXT, count, '1,500'));
        expect(fix?.edit?.documentChanges).toMatchObject([
          { edits: [{ range: places(TEXT, count, '1,500'), newText: '1k5' }] },
        ]);
      },
      {},
      capabilities,
    ));

  it('has its edits made where it means them', () =>
    withServer(
      async (client) => {
        client.open(TEXT);
        await client.next();
        const after = TEXT.replace('µF', 'nF').replace('1,500', '1k5').replace('60 mA', '20 mA');
        client.change(2, [
          { range: places(TEXT, count, 'µ'), text: 'n' },
          { range: places(after.replace('1k5', '1,500'), count, '1,500'), text: '1k5' },
          { range: places(after.replace('20 mA', '60 mA'), count, '60'), text: '20' },
        ]);
        expect(await client.next()).toMatchObject({ version: 2, diagnostics: [] });
        const hover = await client.hover(places(after, count, 'V5').start);
        expect(hover?.range).toEqual(places(after, count, 'V5'));
      },
      {},
      capabilities,
    ));
});

describe('what is agreed upon', () => {
  const agreed = async (general: { positionEncodings?: string[] } | undefined) => {
    let encoding: unknown;
    await withServer(
      async ({ capabilities }) => {
        encoding = capabilities.positionEncoding;
      },
      {},
      general === undefined ? {} : { general },
    );
    return encoding;
  };
  it.each([
    [undefined, 'utf-16'],
    [{}, 'utf-16'],
    [{ positionEncodings: [] }, 'utf-16'],
    [{ positionEncodings: ['utf-7', 'utf-8', 'utf-16'] }, 'utf-8'],
    [{ positionEncodings: ['utf-16', 'utf-8'] }, 'utf-16'],
    [{ positionEncodings: ['utf-7'] }, 'utf-16'],
  ])('of %j is %s', async (general, encoding) => {
    expect(await agreed(general)).toBe(encoding);
  });
});

describe('positions', () => {
  it('within a character are its beginning', () => {
    const at = createPlaces(() => 'utf-8');
    const snapshot = createSnapshot('test:a', ROW);
    for (const character of [2, 3, 4, 5]) expect(at.offsetAt(snapshot, { line: 0, character })).toBe(2);
    expect(at.offsetAt(snapshot, { line: 0, character: 6 })).toBe(4);
    expect(at.offsetAt(snapshot, { line: 0, character: 999 })).toBe(ROW.length);
    expect(at.offsetAt(snapshot, { line: 9, character: 0 })).toBe(ROW.length);
    expect(at.offsetAt(snapshot, { line: -1, character: -1 })).toBe(0);
  });

  it('count as the encoder does, lone halves of pairs and byte-order marks included', () => {
    const pieces = ['R1', 'µ', '🔥', '\ud83d', '\udd25', 'é', '漢', '\ufeff', '\r\n', '\n', '\u2028', '\0'];
    const text = fc.array(fc.constantFrom(...pieces), { maxLength: 16 }).map((parts) => parts.join(''));
    fc.assert(
      fc.property(text, fc.constantFrom(...Object.keys(COUNTS)), (given, encoding) => {
        const at = createPlaces(() => encoding);
        const snapshot = createSnapshot('test:a', given);
        for (let offset = 0; offset <= given.length; offset++) {
          const position = at.positionAt(snapshot, offset);
          const start = snapshot.lineStarts[position.line] ?? 0;
          const held = at.offsetAt(snapshot, position);
          expect(position.character).toBe(COUNTS[encoding]?.(given.slice(start, held)));
          expect(offset - held).toBeLessThanOrEqual(1);
          expect(at.positionAt(snapshot, held)).toEqual(position);
        }
      }),
      { seed: 3, numRuns: 200 },
    );
  });
});
