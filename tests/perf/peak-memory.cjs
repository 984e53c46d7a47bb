// Loaded before a measured process: says at its end how much memory it held at most, in kilobytes, on standard error.
const { isMainThread } = require('node:worker_threads');
if (isMainThread) {
  process.on('exit', () => process.stderr.write(`peak ${process.resourceUsage().maxRSS}\n`));
}
