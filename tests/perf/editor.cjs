// Owns being an editor with a folder of many sheets open: says on its output how long the server took for all of them, how long for
// those that a change of branch touched, and how much memory it held. `node editor.cjs SERVER FOLDER COUNT`.
const { spawn } = require('node:child_process');
const { readdirSync, readFileSync, writeFileSync } = require('node:fs');
const { join } = require('node:path');
const { pathToFileURL } = require('node:url');

const [server, folder, count] = process.argv.slice(2);
const child = spawn(process.execPath, [server, '--stdio'], { stdio: ['pipe', 'pipe', 'inherit'] });
const waiting = new Map();
let ids = 0;
let held = Buffer.alloc(0);
const send = (message) => {
  const body = JSON.stringify({ jsonrpc: '2.0', ...message });
  child.stdin.write(`Content-Length: ${Buffer.byteLength(body)}\r\n\r\n${body}`);
};
const ask = (method, params) =>
  new Promise((resolve) => {
    waiting.set(++ids, resolve);
    send({ id: ids, method, params });
  });
child.stdout.on('data', (data) => {
  held = Buffer.concat([held, data]);
  for (;;) {
    const head = held.indexOf('\r\n\r\n');
    const length = Number(/Content-Length: (\d+)/.exec(held.toString('utf8', 0, Math.max(head, 0)))?.[1]);
    if (head < 0 || held.length < head + 4 + length) return;
    const message = JSON.parse(held.toString('utf8', head + 4, head + 4 + length));
    held = held.subarray(head + 4 + length);
    if (message.method === undefined)
      waiting.get(message.id)?.(message.result ?? Promise.reject(message.error));
    else if (message.id !== undefined) send({ id: message.id, result: null });
  }
});
child.once('exit', (code) => process.exit(code ?? 1));

/** Megabytes, from the system's own account of the process; none where it keeps no such one. */
function memory(field) {
  try {
    return (
      Number(new RegExp(`${field}:\\s+(\\d+)`).exec(readFileSync(`/proc/${child.pid}/status`, 'utf8'))[1]) /
      1024
    );
  } catch {
    return null;
  }
}

async function main() {
  const uri = pathToFileURL(folder).href;
  const began = performance.now();
  await ask('initialize', {
    processId: null,
    rootUri: null,
    workspaceFolders: [{ uri, name: 'shop' }],
    capabilities: { textDocument: { diagnostic: {} } },
    initializationOptions: { settings: { checkWorkspace: 'allSheets' } },
  });
  send({ method: 'initialized', params: {} });
  const first = await ask('workspace/diagnostic', { previousResultIds: [] });
  const open = performance.now() - began;
  const known = first.items.map((item) => ({ uri: item.uri, value: item.resultId }));

  // A change of branch: every fourth sheet is another, and each is told of twice, once wrongly as new.
  const changed = readdirSync(join(folder, 'jobs'))
    .slice(0, Number(count))
    .map((name) => join(folder, 'jobs', name));
  for (const file of changed) writeFileSync(file, `${readFileSync(file, 'utf8')}\n- R99 = 1,500\n`);
  const switched = performance.now();
  const answer = ask('workspace/diagnostic', { previousResultIds: known });
  const events = changed.map((file) => ({ uri: pathToFileURL(file).href, type: 2 }));
  send({
    method: 'workspace/didChangeWatchedFiles',
    params: { changes: [...events, ...events.map((each) => ({ ...each, type: 1 }))] },
  });
  const second = await answer;
  const checkout = performance.now() - switched;
  const told = second.items.filter(({ kind }) => kind === 'full').length;
  process.stdout.write(
    JSON.stringify({
      open,
      checkout,
      sheets: first.items.length,
      told,
      peak: memory('VmHWM'),
      held: memory('VmRSS'),
    }),
  );
  child.removeAllListeners('exit');
  child.kill();
}

main().catch((error) => {
  process.stderr.write(`${JSON.stringify(error)}\n`);
  child.kill();
});
