// `npm run test:editor`: opens sheets in a real editor in a real browser and reads on the page what a technician would see.
// `--dark` looks at the same in a dark theme. Pictures of every step go to .artefacts/editor.
import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { chromium } from 'playwright-core';
import { startHost } from './host.mjs';
import { browserPath, setUp } from './setup.mjs';

const root = join(dirname(fileURLToPath(import.meta.url)), '..', '..');
const isDark = process.argv.includes('--dark');
const pictures = join(root, '.artefacts', 'editor', isDark ? 'dark' : 'light');
rmSync(pictures, { recursive: true, force: true });
mkdirSync(pictures, { recursive: true });
setUp();

const vsix = join(root, 'dist', 'tagstrip.vsix');
const packed = spawnSync('npm', ['run', 'package'], { cwd: root, encoding: 'utf8' });
if (packed.status !== 0) {
  console.log(packed.stdout + packed.stderr);
  console.log('0 passed, 1 failed');
  process.exit(1);
}

const HOT_VALVE = 'jobs/2047-larch-20-hot-valve.tagstrip.md';
const BENCH = 'jobs/bench.tagstrip.md';
const BENCH_TEXT = `# Larch 20, on the bench

## As found
Mains {mains: 236 V}, dummy load, 20 min, no signal.

- V5 = 6V6GT
- R18 = 270R 5W
- R17 = 1,500
- C12 = 22n 630V film, V5.g to gnd

Words about {C12} here.
`;

const dir = mkdtempSync(join(tmpdir(), 'ts-'));
const host = await startHost({
  dir,
  vsix,
  workspace: join(root, 'samples'),
  extraSettings: isDark ? { 'workbench.colorTheme': 'Default Dark Modern' } : {},
});
writeFileSync(join(host.workspace, BENCH), BENCH_TEXT);
const browser = await chromium.launchPersistentContext(join(dir, 'browser'), {
  executablePath: browserPath,
  headless: true,
  env: { ...process.env, HOME: dir, XDG_CONFIG_HOME: join(dir, 'xdg') },
  viewport: { width: 1440, height: 900 },
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
const measured = {};
async function picture(name) {
  await page.screenshot({ path: join(pictures, `${name.replace(/[^a-z0-9]+/gi, '-')}.png`) }).catch(() => {});
}
async function check(name, work) {
  try {
    await work();
    passed++;
    console.log(`ok      ${name}`);
  } catch (error) {
    failed++;
    console.log(`FAILED  ${name}: ${String(error.message).split('\n').slice(0, 3).join(' ')}`);
    await picture(`failed ${name}`);
  }
  await picture(`${String(passed + failed).padStart(2, '0')} ${name}`);
}

const editor = page.locator('.editor-group-container.active .monaco-editor').first();
const line = (text) => editor.locator('.view-line', { hasText: text }).first();
/** The editor writes its spaces as non-breaking ones. */
const plain = (text) => text.replaceAll('\u00a0', ' ');
const textOf = async (text) => plain(await line(text).textContent());
const fileText = (file) => readFileSync(join(host.workspace, file), 'utf8');
const includes = (text, ...parts) => {
  for (const part of parts)
    if (!plain(text).includes(part)) throw new Error(`“${part}” is not in: ${plain(text).slice(0, 600)}`);
};

async function command(title) {
  await page.keyboard.press('F1');
  const input = page.locator('.quick-input-widget input[type=text]');
  await input.waitFor();
  await input.fill(`>${title}`);
  await page.locator('.quick-input-list .monaco-list-row', { hasText: title }).first().waitFor();
  await page.keyboard.press('Enter');
}
/** Brings the line of a file that holds `text` into sight and puts the caret at its end. */
async function goTo(file, text) {
  const at = fileText(file)
    .split('\n')
    .findIndex((each) => each.includes(text));
  if (at < 0) throw new Error(`“${text}” is not in ${file}`);
  await page.keyboard.press('Control+G');
  const input = page.locator('.quick-input-widget input[type=text]');
  await input.waitFor();
  await input.fill(`:${at + 1}`);
  // Clicked and not entered: an Enter that comes too late would go into the sheet.
  await page.locator('.quick-input-list .monaco-list-row', { hasText: `go to line ${at + 1}` }).click();
  await input.waitFor({ state: 'hidden' });
  await line(text).waitFor();
  await page.keyboard.press('End');
}
async function openSheet(file, text) {
  const name = file.split('/').at(-1);
  const tab = page.locator('.tab', { hasText: name }).first();
  if ((await tab.count()) > 0) await tab.click();
  else await page.locator('.explorer-folders-view .monaco-list-row', { hasText: name }).first().dblclick();
  await page.locator('.tab.active', { hasText: name }).first().waitFor();
  await goTo(file, text);
}
/** Points at the first place where `piece` stands on a line. */
async function pointAt(text, piece) {
  const at = await line(text).evaluate((element, wanted) => {
    const walker = document.createTreeWalker(element, NodeFilter.SHOW_TEXT);
    for (let node = walker.nextNode(); node !== null; node = walker.nextNode()) {
      const start = (node.textContent ?? '').replaceAll('\u00a0', ' ').indexOf(wanted);
      if (start < 0) continue;
      const range = document.createRange();
      range.setStart(node, start);
      range.setEnd(node, start + wanted.length);
      const { x, y, width, height } = range.getBoundingClientRect();
      return { x: x + width / 2, y: y + height / 2 };
    }
    return undefined;
  }, piece);
  if (at === undefined) throw new Error(`“${piece}” is not on the line “${text}”`);
  return at;
}
async function hoverOn(text, piece, wanted) {
  await page.mouse.move(5, 5);
  const { x, y } = await pointAt(text, piece);
  await page.mouse.move(x - 2, y);
  await page.mouse.move(x, y, { steps: 4 });
  const shown = page.locator('.monaco-hover:visible', { hasText: wanted }).first();
  await shown.waitFor();
  return shown.textContent();
}
async function undoAll(text) {
  await command('Revert File');
  await line(text).waitFor();
}

try {
  const asked = performance.now();
  await page.goto(host.page(HOT_VALVE));
  await line('Larch 20, blue cloth').waitFor();
  await page.locator('.squiggly-info, .squiggly-warning, .squiggly-error').first().waitFor();
  measured['page to first squiggle'] = Math.round(performance.now() - asked);
  await line('Larch 20, blue cloth').click();

  await check('a squiggle under the pulled grid, with its message', async () => {
    await command('Problems: Focus on Problems View');
    const row = page.locator('.markers-panel .monaco-list-row', { hasText: 'C10' }).first();
    await row.waitFor();
    includes(await row.textContent(), 'the grid of V4', 'leaks');
    await picture('00 problems');
    await command('View: Toggle Panel Visibility');
    await line('Larch 20, blue cloth').click();
  });

  await check('values at the ends of a chart’s rows', async () => {
    await goTo(HOT_VALVE, '| V4    | 326.7');
    await line('| V4    | 326.7').locator('span', { hasText: '25.2' }).first().waitFor();
    includes(await textOf('| V4    | 326.7'), 'V4 25.2 W, 109 %');
    includes(await textOf('| V3    | 328.5'), 'V3 19.7 W, 86 %');
  });

  await check('a hover with the verdict, what it rests on, and the formula with its numbers', async () => {
    const text = await hoverOn('| V4    | 326.7', 'V4', 'anode dissipation');
    includes(text, 'V4 25.2 W, 109 % of 23 W (design-centre); as left 20 W');
    includes(text, 'read on line 27', 'chassis sheet');
    includes(text, '(Va − Vk) · (Ik − Ig2) = (326.7 V − 29.9 V) · (90.6 mA − 5.8 mA)');
    await picture('hover over V4');
    await page.mouse.move(5, 5);
  });

  await check('a hover on a word of prose', async () => {
    await goTo(HOT_VALVE, 'leaks, {C9} is its twin');
    includes(await hoverOn('leaks, {C9}', 'C10', 'C10'), 'C10 leaks through', '22 nF 630 V paper');
    await page.mouse.move(5, 5);
  });

  await check('definition goes into the chassis sheet', async () => {
    await goTo(HOT_VALVE, '{R20} has run hot');
    await page.keyboard.press('Home');
    await page.keyboard.press('ArrowRight');
    await page.keyboard.press('ArrowRight');
    await page.keyboard.press('F12');
    await page.locator('.tab.active', { hasText: 'larch-20.b' }).first().waitFor();
    await line('R20 = 330R 5W wirewound').waitFor();
  });

  await openSheet(BENCH, 'on the bench');

  await check('an over-run valve is underlined while its line is typed', async () => {
    await goTo(BENCH, 'R17 = 1,500');
    await page.locator('.squiggly-info').first().waitFor();
    await page.keyboard.press('Enter');
    await page.keyboard.type('- V5: a 331, 60 m', { delay: 40 });
    await page.waitForTimeout(600);
    const began = performance.now();
    await page.keyboard.type('A');
    await page.locator('.squiggly-error').first().waitFor();
    measured['typing to squiggle'] = Math.round(performance.now() - began);
    includes(await hoverOn('V5: a 331, 60 mA', '60 mA', 'dissipates'), 'the anode of V5 dissipates', '12 W');
    await page.mouse.move(5, 5);
  });

  await check('a value appears when one leaves the line, not while typing', async () => {
    await line('V5: a 331, 60 mA').click();
    await page.keyboard.press('End');
    await page.waitForTimeout(500);
    if (/W,/.test(await textOf('V5: a 331, 60 mA')))
      throw new Error(`a value stands on the line being typed: ${await textOf('V5: a 331, 60 mA')}`);
    await page.keyboard.press('ArrowUp');
    await line('V5: a 331, 60 mA').locator('span', { hasText: '146' }).first().waitFor();
    includes(await textOf('V5: a 331, 60 mA'), 'V5 16.1 to 19 W, 146 %');
    await undoAll('on the bench');
  });

  await check('a half-typed value is not blamed until one leaves its line', async () => {
    await undoAll('on the bench');
    await goTo(BENCH, 'Words about');
    await page.keyboard.press('Enter');
    await page.keyboard.press('Enter');
    await page.keyboard.type('- R20 = 2,200', { delay: 30 });
    await page.waitForTimeout(700);
    if ((await page.locator('.squiggly-info').count()) !== 1)
      throw new Error('the line being typed is underlined');
    await page.keyboard.press('Control+Home');
    await page.locator('.squiggly-info').nth(1).waitFor();
    await undoAll('on the bench');
  });

  await check('completion of refs in a tag is taken with Enter, and there is none in prose', async () => {
    await goTo(BENCH, 'Words about');
    await page.keyboard.type(' and {', { delay: 40 });
    const row = page.locator('.suggest-widget.visible .monaco-list-row', { hasText: 'C12' }).first();
    await row.waitFor();
    await picture('completion of refs');
    await page.keyboard.type('C1', { delay: 60 });
    await row.waitFor();
    await page.waitForTimeout(300);
    await page.keyboard.press('Enter');
    await line('and {C12').waitFor();
    await page.keyboard.type('} and then ', { delay: 40 });
    await page.waitForTimeout(500);
    if (await page.locator('.suggest-widget.visible .monaco-list-row').count())
      throw new Error('something is offered in prose');
    await undoAll('on the bench');
  });

  await check('completion of electrodes with their pins, valve types and units', async () => {
    await goTo(BENCH, 'Words about');
    await page.keyboard.type(' {V5.', { delay: 40 });
    includes(
      await page.locator('.suggest-widget.visible .monaco-list-row', { hasText: 'g2' }).first().textContent(),
      'g2',
    );
    await picture('completion of electrodes');
    await page.keyboard.press('Escape');
    await undoAll('on the bench');
    await goTo(BENCH, 'C12 = 22n');
    await page.keyboard.press('Enter');
    await page.keyboard.type('- V6 = 6V', { delay: 40 });
    await page.locator('.suggest-widget.visible .monaco-list-row', { hasText: '6V6' }).first().waitFor();
    await picture('completion of valve types');
    await page.keyboard.press('Escape');
    await undoAll('on the bench');
  });

  await check('a quick fix mends an ambiguous value', async () => {
    await goTo(BENCH, 'R17 = 1,500');
    await page.keyboard.press('Control+.');
    const item = page.locator('.action-widget .monaco-list-row', { hasText: 'Write 1k5' });
    await item.waitFor();
    await picture('quick fixes');
    await item.click();
    await line('R17 = 1k5').waitFor();
    await page.locator('.squiggly-info').first().waitFor({ state: 'detached' });
    await undoAll('on the bench');
  });

  await check('the connection that a figure lacks is one fix away', async () => {
    await goTo(BENCH, 'C12 = 22n');
    await page.keyboard.press('Enter');
    await page.keyboard.type('- V5: a 331, k 19.4', { delay: 30 });
    await goTo(BENCH, 'R18 = 270R');
    includes(await hoverOn('R18 = 270R', 'R18', 'is not written'), 'V5.k to gnd');
    await picture('hover with an offer');
    await page.locator('.monaco-hover:visible a', { hasText: 'V5.k to gnd' }).first().click();
    await line('R18 = 270R 5W, V5.k to gnd').waitFor();
    await page.mouse.move(5, 5);
    await page.keyboard.press('Control+Z');
    await line('R18 = 270R 5W, V5.k to gnd').waitFor({ state: 'detached' });
    await goTo(BENCH, 'R18 = 270R');
    await page.keyboard.press('Control+.');
    const item = page.locator('.action-widget .monaco-list-row', { hasText: 'V5.k to gnd' });
    await item.waitFor();
    await item.click();
    await line('R18 = 270R 5W, V5.k to gnd').waitFor();
    await line('V5: a 331, k 19.4').locator('span', { hasText: 'W, ' }).first().waitFor();
    await undoAll('on the bench');
  });

  await check('headings and parts in the outline', async () => {
    await command('Go to Symbol in Editor...');
    const rows = page.locator('.quick-input-list .monaco-list-row');
    await rows.filter({ hasText: 'As found' }).first().waitFor();
    await rows.filter({ hasText: 'R18' }).first().waitFor();
    await picture('outline');
    await page.keyboard.press('Escape');
    await rows.first().waitFor({ state: 'hidden' });
  });

  await openSheet(HOT_VALVE, 'Larch 20, blue cloth');

  await check('the summary in the panel, in the editor’s colours, following what is typed', async () => {
    await command('Tagstrip: Show Summary for the Bench');
    const inner = page.frameLocator('iframe.webview.ready').frameLocator('iframe#active-frame');
    await inner.getByText('Larch 20, blue cloth').first().waitFor();
    await inner.getByText('C10').first().waitFor();
    const colours = await inner.locator('body').evaluate((body) => {
      const { backgroundColor } = getComputedStyle(body);
      const html = getComputedStyle(document.documentElement).backgroundColor;
      return { backgroundColor, html, scripts: document.querySelectorAll('main script').length };
    });
    measured.panel = JSON.stringify(colours);
    await line('Larch 20, blue cloth').click();
    await page.keyboard.press('End');
    await page.keyboard.type(' and gold', { delay: 30 });
    await inner.getByText('Larch 20, blue cloth and gold').first().waitFor();
    await picture('summary for the bench');
    await command('Tagstrip: Show Summary for the Customer');
    await inner.getByText('A leaking capacitor was pushing').first().waitFor();
    await picture('summary for the customer');
    await line('Larch 20, blue cloth').click();
    await undoAll('Larch 20, blue cloth');
  });

  await check('a new job sheet for two keys, on the chassis of the last', async () => {
    await line('Larch 20, blue cloth').click();
    await page.keyboard.press('Alt+J');
    await line('## Complaint').waitFor();
    await line('chassis: ../chassis/larch-20.b.tagstrip.md').waitFor();
    await line('discharged through 10k').waitFor();
    await page.keyboard.type('2061');
    await line('job: 2061').waitFor();
    await page.waitForTimeout(600);
    if (await page.locator('.editor-group-container.active [class*=squiggly]').count())
      throw new Error('a new sheet begins with findings');
  });

  await check('nothing was asked of the network', async () => {
    if (outside.size > 0) throw new Error([...outside].join(' '));
  });
} catch (error) {
  failed++;
  console.log(`FAILED  ${error.stack}`);
  await picture('fatal');
} finally {
  await browser.close();
  await host.stop();
  writeFileSync(join(pictures, 'editor.log'), host.log());
  rmSync(dir, { recursive: true, force: true });
}
for (const [name, value] of Object.entries(measured))
  console.log(`${name}: ${value}${typeof value === 'number' ? ' ms' : ''}`);
console.log(`${passed} passed, ${failed} failed`);
process.exit(failed === 0 ? 0 : 1);
