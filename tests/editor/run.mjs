// `npm run test:editor`: opens sheets in a real editor in a real browser and reads on the page what a technician would see.
// `--edition node` or `--edition browser` makes the checks with one edition of the extension alone, `--dark` in a dark theme,
// `--contrast` in high contrast, `--only WORDS` those whose names hold the words (`one|other` either). Pictures of every step go to
// .artefacts/editor. `--readme` makes no checks but the README's pictures anew.
import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { chromium } from 'playwright-core';
import { CHECKS, FIRST, ORDINARY, ORDINARY_CHECKS, SHEETS } from './checks.mjs';
import { startHost } from './host.mjs';
import { createDesk } from './page.mjs';
import { README_PICTURES, README_SCALE, README_SETTINGS } from './readme.mjs';
import { browserPath, setUp } from './setup.mjs';
import { checkSummaries } from './summaries.mjs';

const EDITIONS = {
  // The server is a process beside the editor's own.
  node: {},
  // The server is a web worker on the page.
  browser: { 'remote.extensionKind': { 'tagstrip.tagstrip': ['web'] } },
};

/** What the package may weigh at most. */
const MOST_MEGABYTES = 1.5;

/** How long the editor's page may take to be there, in milliseconds: on a busy machine it is slow. */
const START = 90_000;

const THEMES = {
  light: {},
  dark: { 'workbench.colorTheme': 'Dark Modern' },
  contrast: { 'workbench.colorTheme': 'Default High Contrast' },
};

const root = join(dirname(fileURLToPath(import.meta.url)), '..', '..');
const option = (name) => {
  const at = process.argv.indexOf(name);
  return at < 0 ? undefined : process.argv[at + 1];
};
const theme = Object.keys(THEMES).find((name) => process.argv.includes(`--${name}`)) ?? 'light';
const only = option('--only');
const isForReadme = process.argv.includes('--readme');
const edition = isForReadme ? 'node' : option('--edition');
const editions = edition === undefined ? Object.keys(EDITIONS) : [edition];
if (editions.some((edition) => !(edition in EDITIONS))) throw new Error(`no such edition: ${editions}`);
setUp();

const packed = spawnSync('npm', ['run', 'package'], { cwd: root, encoding: 'utf8' });
if (packed.status !== 0) {
  console.log(packed.stdout + packed.stderr);
  console.log('0 passed, 1 failed');
  process.exit(1);
}

let passed = 0;
let failed = 0;

// It goes over thin lines, and is looked through by hand.
const size = statSync(join(root, 'dist', 'tagstrip.vsix')).size / 1e6;
console.log(`${size <= MOST_MEGABYTES ? 'ok      ' : 'FAILED  '}the package has ${size.toFixed(2)} MB`);
if (size <= MOST_MEGABYTES) passed++;
else failed++;
for (const edition of editions) await runEdition(edition);
if (theme === 'light' && !isForReadme) {
  console.log('summaries');
  await checkSummaries({
    root,
    wants: (name) => only === undefined || name.includes(only),
    told: (name, error) => {
      if (error === undefined) passed++;
      else failed++;
      console.log(
        error === undefined ? `ok      ${name}` : `FAILED  ${name}: ${error.message.slice(0, 400)}`,
      );
    },
  });
}
console.log(`${passed} passed, ${failed} failed`);
process.exit(failed === 0 ? 0 : 1);

async function runEdition(edition) {
  console.log(`${edition} edition`);
  const folder = isForReadme ? 'readme' : `${theme}${edition === 'node' ? '' : `-${edition}`}`;
  const pictures = join(root, '.artefacts', 'editor', folder);
  rmSync(pictures, { recursive: true, force: true });
  mkdirSync(pictures, { recursive: true });
  const dir = mkdtempSync(join(tmpdir(), 'ts-'));
  const host = await startHost({
    dir,
    vsix: join(root, 'dist', 'tagstrip.vsix'),
    workspace: join(root, 'samples'),
    sheets: SHEETS,
    extraSettings: { ...EDITIONS[edition], ...THEMES[theme], ...(isForReadme ? README_SETTINGS : {}) },
  });
  const browser = await launchBrowser(dir);
  const page = browser.pages()[0] ?? (await browser.newPage());
  const outside = new Set();
  const asked = [];
  const said = [];
  page.on('console', (message) => said.push(`${message.type()}: ${message.text()}`));
  page.on('request', (request) => {
    const url = new URL(request.url());
    asked.push(request.url());
    // The last is what a page inside the page calls the editor's own files; the editor answers it, and nobody else is asked.
    const isHere = /^127\.0\.0\.1$|\.localhost$|\.vscode-resource\.vscode-cdn\.net$/.test(url.hostname);
    if (/^(https?|wss?):$/.test(url.protocol) && !isHere) outside.add(url.origin);
  });
  const picture = async (name) => {
    const path = join(pictures, `${name.replace(/[^a-z0-9]+/gi, '-')}.png`);
    await page.screenshot({ path, animations: 'disabled' }).catch(() => {});
  };
  const measured = {};
  const desk = { ...createDesk({ page, host, edition, picture, measured }), outside, asked, root };
  const isWanted = ({ name, editions: made = Object.keys(EDITIONS) }) =>
    made.includes(edition) && (only === undefined || only.split('|').some((words) => name.includes(words)));
  let made = 0;
  const make = async ({ name, run }) => {
    made++;
    try {
      await run(desk);
      passed++;
      console.log(`ok      ${name}`);
    } catch (error) {
      failed++;
      console.log(`FAILED  ${name}: ${String(error.message).split('\n').slice(0, 3).join(' ')}`);
      await picture(`failed ${name}`);
    }
    await desk.dismissNotifications().catch(() => {});
    await picture(`${String(made).padStart(2, '0')} ${name}`);
  };
  try {
    const ordinary = isForReadme ? [] : ORDINARY_CHECKS.filter(isWanted);
    if (ordinary.length > 0) {
      await page.goto(host.page(ORDINARY.file));
      await desk.line(ORDINARY.text).waitFor({ timeout: START });
      for (const each of ordinary) await make(each);
      await desk.command('View: Close All Editors');
    }
    const began = performance.now();
    await page.goto(host.page(FIRST.file));
    await desk.line(FIRST.text).waitFor({ timeout: START });
    await page
      .locator('.squiggly-info, .squiggly-warning, .squiggly-error')
      .first()
      .waitFor({ timeout: START });
    measured['page to first squiggle'] = Math.round(performance.now() - began);
    await desk.line(FIRST.text).click();
    for (const each of (isForReadme ? README_PICTURES : CHECKS).filter(isWanted)) await make(each);
  } catch (error) {
    failed++;
    console.log(`FAILED  ${error.stack}`);
    await picture('fatal');
  } finally {
    await browser.close();
    await host.stop();
    writeFileSync(join(pictures, 'editor.log'), host.log());
    writeFileSync(join(pictures, 'page.log'), said.join('\n'));
    rmSync(dir, { recursive: true, force: true });
  }
  for (const [name, value] of Object.entries(measured))
    console.log(`${name}: ${value}${typeof value === 'number' ? ' ms' : ''}`);
}

async function launchBrowser(dir) {
  const browser = await chromium.launchPersistentContext(join(dir, 'browser'), {
    executablePath: browserPath,
    headless: true,
    env: { ...process.env, HOME: dir, XDG_CONFIG_HOME: join(dir, 'xdg') },
    viewport: { width: 1440, height: 900 },
    deviceScaleFactor: isForReadme ? README_SCALE : 1,
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
  browser.setDefaultTimeout(20_000);
  return browser;
}
