/** Owns the extension's entry on a desk: the shared life of it, with the server as a process. */
import type { ExtensionContext } from 'vscode';
import { activateWith, type ForPreview } from './activation.ts';

export { deactivate } from './activation.ts';

export function activate(context: ExtensionContext): ForPreview {
  return activateWith(async (...given) => (await import('./server.ts')).startServer(...given), context);
}
