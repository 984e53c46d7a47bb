/** Owns the extension's entry in a browser: the shared life of it, with the server as a web worker. */
import type { ExtensionContext } from 'vscode';
import { activateWith, type ForPreview } from './activation.ts';

export { deactivate } from './activation.ts';

export function activate(context: ExtensionContext): ForPreview {
  return activateWith(async (...given) => (await import('./worker.ts')).startServer(...given), context);
}
