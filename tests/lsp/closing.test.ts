/** Of a sheet that was closed nothing is kept for a next text that does not come. */
import { expect, it } from 'vitest';
import { createDispatcher } from '../../server/lsp/dispatch.ts';
import { registerSync } from '../../server/lsp/sync.ts';
import { createTyping } from '../../server/lsp/typing.ts';
import { memoryFiles } from '../../server/shop/files.ts';
import { createShop } from '../../server/shop/shop.ts';
import { SHEET } from '../support/check.ts';

it('lets go of what was read', async () => {
  const shop = createShop({ files: memoryFiles({ [SHEET]: '# On the disk\n' }) });
  let close: (params: { readonly textDocument: { readonly uri: string } }) => void = () => {};
  const ignored = () => {};
  const connection = {
    onDidOpenTextDocument: ignored,
    onDidChangeTextDocument: ignored,
    onDidSaveTextDocument: ignored,
    onNotification: ignored,
    onDidCloseTextDocument: (handler: typeof close) => {
      close = handler;
    },
  };
  const told: string[] = [];
  const letGo = (uri: string) => {
    told.push('let go');
    shop.letGo(uri);
  };
  const dispatcher = createDispatcher(connection as never, shop);
  dispatcher.begin();
  const context = {
    ...dispatcher,
    connection,
    shop: { ...shop, letGo },
    typing: createTyping(),
  };
  registerSync(context as never, { closed: () => told.push('closed') } as never);

  const open = shop.store.setOpen(SHEET, '# In the editor\n', 1);
  const before = await shop.analyse(SHEET);
  expect(before?.sheet.snapshot).toBe(open);
  close({ textDocument: { uri: SHEET } });
  expect(told).toEqual(['let go', 'closed']);
  expect((await shop.analyse(SHEET))?.sheet.title).toBe('On the disk');
});
