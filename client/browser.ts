/** Owns the extension's entry in a browser: the shared life of it, with the server as a web worker. */
import type { ExtensionContext } from 'vscode';
import { activateWith } from './activation.ts';

export { deactivate } from './activation.ts';

export function activate(context: ExtensionContext): void {
  activateWith(async (each) => (await import('./worker.ts')).startServer(each), context);
}
