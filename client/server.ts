/** Owns starting the language server as a process of its own. */
import type { ExtensionContext } from 'vscode';
import { LanguageClient, TransportKind } from 'vscode-languageclient/node';
import { clientOptions, serve, tellState } from './serving.ts';
import type { CheckStatus } from './status.ts';

export async function startServer(context: ExtensionContext, status: CheckStatus): Promise<LanguageClient> {
  const module = context.asAbsolutePath('dist/tagstrip-lsp.cjs');
  const client = new LanguageClient(
    'tagstrip',
    'Tagstrip',
    {
      run: { module, transport: TransportKind.ipc },
      debug: { module, transport: TransportKind.ipc, options: { execArgv: ['--nolazy', '--inspect=6019'] } },
    },
    clientOptions(status),
  );
  context.subscriptions.push(client, tellState(client, status), ...serve(client));
  await client.start();
  return client;
}
