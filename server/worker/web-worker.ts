/**
 * Owns the language server as a web worker, for an editor that runs in a browser: the same server, which reaches every file through
 * the editor.
 */
import { BrowserMessageReader, BrowserMessageWriter, createConnection } from 'vscode-languageserver/browser';
import { startServer } from '../lsp/server.ts';
import { version } from '../lsp/version.ts';

// What is global in a worker is its own end of the channel to the page.
const scope = globalThis as unknown as ConstructorParameters<typeof BrowserMessageReader>[0];
const connection = createConnection(new BrowserMessageReader(scope), new BrowserMessageWriter(scope));

startServer(connection, undefined, { version });
