/** Owns starting the language server as a web worker. */
import * as vscode from 'vscode';
import { BrowserMessageReader, BrowserMessageWriter, LanguageClient } from 'vscode-languageclient/browser';
import { clientOptions, serve, tellState } from './serving.ts';
import type { CheckStatus } from './status.ts';

/** What is used of a web worker. */
interface Ending {
  readonly terminate: () => void;
}

declare const Worker: new (url: string, options: { readonly name: string }) => Ending;

export async function startServer(
  context: vscode.ExtensionContext,
  status: CheckStatus,
): Promise<LanguageClient> {
  let worker: Ending | undefined;
  const end = { dispose: () => worker?.terminate() };
  // At every start anew, for a worker that was told to shut down lingers.
  const start = async () => {
    end.dispose();
    const started = new Worker(await bundle(context.extensionUri), { name: 'Tagstrip' });
    worker = started;
    // Editors put a worker of their own making in the place of the browser's, which the library does not know for one.
    const port = started as unknown as ConstructorParameters<typeof BrowserMessageReader>[0];
    return { reader: new BrowserMessageReader(port), writer: new BrowserMessageWriter(port) };
  };
  const client = new LanguageClient('tagstrip', 'Tagstrip', start, clientOptions(status));
  context.subscriptions.push(client, end, tellState(client, status), ...serve(client));
  await client.start();
  return client;
}

/**
 * A worker straight from the extension's own address is refused where the extension is installed on a server, which is another
 * place than the page's. The address of the copy is kept, because nobody says when the worker has read it.
 */
async function bundle(extension: vscode.Uri): Promise<string> {
  const file = vscode.Uri.joinPath(extension, 'dist', 'tagstrip-worker.js');
  const text = await vscode.workspace.fs.readFile(file);
  return URL.createObjectURL(new Blob([text], { type: 'text/javascript' }));
}
