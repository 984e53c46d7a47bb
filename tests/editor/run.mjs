// `npm run test:editor`: opens a sample in a real editor in a real browser and reads on the page what a technician would see.
import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { chromium } from 'playwright-core';
import { startHost } from './host.mjs';
import { browserPath, setUp } from './setup.mjs';

const root = join(dirname(fileURLToPath(import.meta.url)), '..', '..');
const pictures = join(root, '.artefacts', 'editor');
mkdirSync(pictures, { recursive: true });
setUp();

const vsix = join(root, 'dist', 'tagstrip.vsix');
const packed = spawnSync(
  join(root, 'node_modules', '.bin', 'vsce'),
  [
    'package',
    '--no-dependencies',
    '--no-rewrite-relative-links',
    '--allow-missing-repository',
    '--allow-unused-files-pattern',
    '--out',
    vsix,
  ],
  { cwd: root, encoding: 'utf8' },
);
if (packed.status !== 0) {
  console.log(packed.stdout + packed.stderr);
  console.log('0 passed, 1 failed');
  process.exit(1);
}

const dir = mkdtempSync(join(tmpdir(), 'ts-'));
const host = await startHost({ dir, vsix, workspace: join(root, 'samples') });
const browser = await chromium.launchPersistentContext(join(dir, 'browser'), {
  executablePath: browserPath,
  headless: true,
  env: { ...process.env, HOME: dir, XDG_CONFIG_HOME: join(dir, 'xdg') },
  viewport: { width: 1400, height: 860 },
  args: [
    '--headless',
    '--no-sandbox',
    '--disable-gpu',
    '--disable-quic',
    '--no-first-run',
    '--disable-background-networking',
    '--disable-component-update',
    '--disable-sync',
  ],
});
browser.setDefaultTimeout(30_000);
const page = browser.pages()[0] ?? (await browser.newPage());
const outside = new Set();
page.on('request', (request) => {
  const url = new URL(request.url());
  if (
    /^(https?|wss?):$/.test(url.protocol) &&
    url.hostname !== '127.0.0.1' &&
    !url.hostname.endsWith('.localhost')
  )
    outside.add(url.origin);
});

let passed = 0;
let failed = 0;
async function check(name, work) {
  try {
    await work();
    passed++;
    console.log(`ok      ${name}`);
  } catch (error) {
    failed++;
    console.log(`FAILED  ${name}: ${String(error.message).split('\n').slice(0, 3).join(' ')}`);
  }
  await page.screenshot({ path: join(pictures, `${name.replace(/[^a-z0-9]+/gi, '-')}.png`) }).catch(() => {});
}

const line = (text) => page.locator('.monaco-editor .view-line', { hasText: text }).first();
async function command(title) {
  await page.keyboard.press('F1');
  const input = page.locator('.quick-input-widget input[type=text]');
  await input.waitFor();
  await input.fill(`>${title}`);
  await page.locator('.quick-input-list .monaco-list-row', { hasText: title }).first().waitFor();
  await page.keyboard.press('Enter');
}
async function hoverOn(text, piece, wanted) {
  await page.mouse.move(5, 5);
  await line(text).locator('span', { hasText: piece }).last().hover();
  const shown = page.locator('.monaco-hover:visible', { hasText: wanted }).first();
  await shown.waitFor();
  return shown.innerText();
}
const includes = (text, ...parts) => {
  const plain = text.replaceAll('\u00a0', ' ');
  for (const part of parts)
    if (!plain.includes(part)) throw new Error(`“${part}” is not in: ${plain.slice(0, 600)}`);
};

try {
  await page.goto(host.page('jobs/2047-larch-20-hot-valve.tagstrip.md'));
  await line('Larch 20, blue cloth').waitFor();

  await check('a squiggle under the pulled grid, with its message', async () => {
    await page.locator('.squiggly-info, .squiggly-warning, .squiggly-error').first().waitFor();
    await command('Problems: Focus on Problems View');
    const row = page.locator('.markers-panel .monaco-list-row', { hasText: 'C10' }).first();
    await row.waitFor();
    includes(await row.innerText(), 'grid of V4', 'leaks');
  });

  await check('a hover with the verdict and the dissipation formula', async () => {
    await command('View: Toggle Panel Visibility');
    const text = await hoverOn('V3: a 331.3', 'V3', 'anode dissipation');
    includes(text, 'V3', 'of 23 W', 'design-centre', '(Va − Vk)');
  });

  await check('a value at the end of the line', async () => {
    await line('V3: a 331.3').locator('span', { hasText: 'W, ' }).first().waitFor();
  });

  await check('completion of refs in a tag', async () => {
    await line('V2B.a: 185.1').click();
    await page.keyboard.press('End');
    await page.keyboard.press('Enter');
    await page.keyboard.type('{C1', { delay: 40 });
    await page.locator('.suggest-widget.visible .monaco-list-row', { hasText: 'C11' }).first().waitFor();
    await page.keyboard.press('Escape');
    await page.keyboard.press('Control+Z');
    for (let i = 0; i < 6; i++) await page.keyboard.press('Control+Z');
  });

  await check('a value appears when one leaves the line, not while typing', async () => {
    await line('earth to chassis: 0.2R').click();
    await command('Go to Line/Column...');
    await page.keyboard.press('Escape');
    await line('V2B.a: 185.1').click();
    await page.keyboard.press('End');
    await page.keyboard.press('Enter');
    await page.keyboard.type('R22: 4.5 V', { delay: 40 });
    await page.waitForTimeout(900);
    const typing = await line('R22: 4.5').innerText();
    if (/W/.test(typing)) throw new Error(`a value stands on the line being typed: ${typing}`);
    await page.keyboard.press('ArrowUp');
    await line('R22: 4.5').locator('span', { hasText: 'W' }).first().waitFor();
    for (let i = 0; i < 14; i++) await page.keyboard.press('Control+Z');
  });

  await check('the summary in the panel', async () => {
    await command('Tagstrip: Show Summary for the Bench');
    const inner = page.frameLocator('iframe.webview.ready').frameLocator('iframe#active-frame');
    await inner.getByText('Larch 20, blue cloth').first().waitFor();
    await inner.getByText('C10').first().waitFor();
  });

  await check('a new job sheet for two keys', async () => {
    await line('Larch 20, blue cloth').click();
    await page.keyboard.press('Alt+J');
    await line('## Complaint').waitFor();
    await page.locator('.view-line', { hasText: 'discharged through 10k' }).first().waitFor();
  });

  await check('nothing was asked of the network', async () => {
    if (outside.size > 0) throw new Error([...outside].join(' '));
  });
} catch (error) {
  failed++;
  console.log(`FAILED  ${error.stack}`);
  await page.screenshot({ path: join(pictures, 'fatal.png') }).catch(() => {});
} finally {
  await browser.close();
  await host.stop();
  writeFileSync(join(pictures, 'editor.log'), host.log());
  rmSync(dir, { recursive: true, force: true });
}
console.log(`${passed} passed, ${failed} failed`);
process.exit(failed === 0 ? 0 : 1);
