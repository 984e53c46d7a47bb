/** Owns the language server's process under Node: `tagstrip-lsp --stdio`, or the channel that an editor's client opens. */
import { createConnection, ProposedFeatures } from 'vscode-languageserver/node';
import manifest from '../../package.json' with { type: 'json' };
import { diskFiles } from '../shop/disk-files.ts';
import { startServer } from './server.ts';

startServer(createConnection(ProposedFeatures.all), diskFiles, { version: manifest.version });
