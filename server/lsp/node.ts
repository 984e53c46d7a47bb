/** Owns the language server's process under Node: `tagstrip-lsp --stdio`, or the channel that an editor's client opens. */
import { createConnection, ProposedFeatures } from 'vscode-languageserver/node';
import { diskFiles } from '../shop/disk-files.ts';
import { startServer } from './server.ts';
import { version } from './version.ts';

const USAGE = `tagstrip-lsp ${version}: the language server of Tagstrip, for editors to start.

  tagstrip-lsp --stdio          speak over standard input and output
  tagstrip-lsp --node-ipc       speak over Node's own channel
  tagstrip-lsp --socket=PORT    speak over a socket
  tagstrip-lsp --pipe=NAME      speak over a named pipe
`;

const args = process.argv.slice(2);
const hasChannel = args.some((arg) => /^--(?:stdio$|node-ipc$|socket\b|pipe\b)/.test(arg));

if (args.includes('--version')) {
  process.stdout.write(`${version}\n`);
} else if (args.includes('--help')) {
  process.stdout.write(USAGE);
} else if (hasChannel) {
  startServer(createConnection(ProposedFeatures.all), diskFiles, { version });
} else {
  process.stderr.write(`tagstrip-lsp: say how to speak, for instance --stdio\n\n${USAGE}`);
  process.exitCode = 2;
}
