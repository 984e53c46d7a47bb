// Finds and ends the language servers that this editor's own host started, and no others.
import { execFileSync } from 'node:child_process';

/** The process ids of the language servers in the host's process group. */
export function serversOf(host) {
  return execFileSync('ps', ['-eo', 'pid=,pgid=,args='], { encoding: 'utf8' })
    .split('\n')
    .map((line) => /^\s*(\d+)\s+(\d+)\s+(.*)$/.exec(line))
    .filter(
      (found) => found !== null && Number(found[2]) === host.group && found[3].includes('tagstrip-lsp.cjs'),
    )
    .map((found) => Number(found[1]));
}

export function killServer(host) {
  for (const id of serversOf(host)) process.kill(id, 'SIGKILL');
}
