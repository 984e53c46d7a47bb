/** Whatever is opened, typed, saved and closed in whatever order: what the editor was last told is what a fresh look finds. */
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { SHEET } from '../support/check.ts';
import { sayDiagnostics, withServer } from '../support/lsp-client.ts';

const CHASSIS = 'file:///shop/chassis/larch.tagstrip.md';
const HEAD = '---\nchassis: ../chassis/larch.tagstrip.md\n---\n\n';
const LINES = [
  '- V5: a 331, g2 322, k 19.4\n',
  '- R17 = 1,500\n',
  'Words 🔥.\r\n',
  '{V9 = 6V7GT}\n',
  '- V5 6V6GT: a 331, 60 mA\n',
  '\n',
];
const CHASSIS_TEXTS = ['680R', '220R'].map(
  (ohms) => `---\nsheet: chassis\n---\n\n- V5 = 6V6GT\n- R18 = ${ohms} 5W, V5.k to gnd\n`,
);

type Step =
  | { readonly kind: 'type'; readonly line: string; readonly at: number }
  | { readonly kind: 'cut'; readonly at: number }
  | { readonly kind: 'reopen' | 'save' | 'caret' }
  | { readonly kind: 'chassis'; readonly text: string };

const step: fc.Arbitrary<Step> = fc.oneof(
  fc.record({ kind: fc.constant('type' as const), line: fc.constantFrom(...LINES), at: fc.nat(6) }),
  fc.record({ kind: fc.constant('cut' as const), at: fc.nat(6) }),
  fc.record({ kind: fc.constantFrom('reopen' as const, 'save' as const, 'caret' as const) }),
  fc.record({ kind: fc.constant('chassis' as const), text: fc.constantFrom(...CHASSIS_TEXTS) }),
);

it('the last word about a sheet is about its last text', async () => {
  await fc.assert(
    fc.asyncProperty(fc.array(step, { minLength: 1, maxLength: 12 }), async (steps) => {
      let body: string[] = [];
      let version = 1;
      let chassis = CHASSIS_TEXTS[0] ?? '';
      const text = () => HEAD + body.join('');
      await withServer(
        async (client, disk) => {
          const change = (line: number, lines: number, put: string) => {
            const from = 4 + Math.min(line, body.length);
            const range = { start: { line: from, character: 0 }, end: { line: from + lines, character: 0 } };
            client.change(++version, [{ range, text: put }]);
          };
          client.open(text());
          for (const each of steps) {
            if (each.kind === 'type') {
              change(each.at, 0, each.line);
              body = body.toSpliced(Math.min(each.at, body.length), 0, each.line);
            } else if (each.kind === 'cut' && each.at < body.length) {
              change(each.at, 1, '');
              body = body.toSpliced(each.at, 1);
            } else if (each.kind === 'reopen') {
              client.close();
              version = 1;
              client.open(text());
            } else if (each.kind === 'save') client.save();
            else if (each.kind === 'caret') client.caret(0);
            else if (each.kind === 'chassis') {
              chassis = each.text;
              disk.texts.set(CHASSIS, chassis);
              client.changedOnDisk(CHASSIS);
            }
          }
          // Nothing is held back once the caret is elsewhere and the sheet is saved.
          client.caret(0);
          client.save();
          const last = (await client.rest()).filter(({ uri }) => uri === SHEET).at(-1);
          expect(last?.version).toBe(version);
          let fresh: string[] = [];
          await withServer(
            async (other) => {
              other.open(text());
              fresh = sayDiagnostics((await other.next()).diagnostics, text());
            },
            { [CHASSIS]: chassis },
          );
          expect(sayDiagnostics(last?.diagnostics ?? [], text())).toEqual(fresh);
        },
        { [CHASSIS]: chassis },
      );
    }),
    { seed: 2046, numRuns: 20 },
  );
});
