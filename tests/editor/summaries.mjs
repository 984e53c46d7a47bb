// The summaries in a browser by themselves: sheets that mean harm run, fetch and link nothing; the panel's page changes only what
// differs; they can be listened to and gone through by keys; the samples fit their page and their paper. Pictures of all of them go to .artefacts/editor/summaries: look at them.
import { execFileSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { build } from 'esbuild';
import { micromark } from 'micromark';
import { gfm, gfmHtml } from 'micromark-extension-gfm';
import { chromium } from 'playwright-core';
import { findNameless, findPoor, tabThrough } from './accessibility.mjs';
import { browserPath } from './setup.mjs';

const READERS = [
  { name: 'bench', reader: 'bench' },
  { name: 'customer', reader: 'customer' },
  { name: 'customer with readings', reader: 'customer', withReadings: true },
  { name: 'label', reader: 'label' },
];
/** Pages of paper that a reader is asked to read at most. */
const MOST_PAGES = { customer: 2, 'customer with readings': 2, label: 1 };
/** A last page with fewer lines is paper for nothing. */
const LEAST_LINES = 4;
const PAPERS = ['A4', 'Letter'];
/** What the narrower of them leaves between its margins, in pixels of the screen: 182 mm. */
const PAPER_WIDTH = 688;
const LANGUAGES = ['en', 'de'];

/** A sheet with all that has the colour of alarm. */
const ALARMING = {
  path: 'jobs/alarming.tagstrip.md',
  text: `# Alarming

## As found
Mains {mains: 236 V}, dummy load, no signal.

- V5 = 6V6GT
- R18 = 270R 5W, V5.k to gnd
- C11 = 47uF 350V, B+1 to gnd
- V5: a 347, k 24.6
- B+1: 420 V

## Work
- plug out: B+1: 80 V
`,
};
/** What the editor gives its panels, as far as the frame asks for it. */
const EDITOR_COLOURS =
  ':root{--vscode-focusBorder:#005fb8;--vscode-editor-background:#fff;--vscode-editor-foreground:#3b3b3b}';
/** A page that is poor in every way that is looked for. */
const POOR = `<!DOCTYPE html><style>i{color:var(--alarm)} :focus{outline:none}</style>
<main><h1>One</h1><h3>Three</h3><input><a href="#x"></a><svg role="img"></svg><i>red</i>
<table><thead><tr><th>a</th></tr></thead><tbody><tr><td>1</td><td>2</td></tr></tbody></table>
<p><button style="float:right">last</button><button>first</button></p></main>`;
const POOR_FOUND = [
  'no language',
  'no title',
  '<input>  has no name',
  'skips a level',
  'has no words',
  'no words for it',
  'colour alone',
  'a table has no name',
  'heads nothing',
  'is 2 wide under 1 heads',
  'a textbox without a name',
  'button last does not show',
  'button first comes after button last',
];

/** Makes all checks; `told(name, error?)` hears of each. */
export async function checkSummaries({ root, wants, told }) {
  const checks = Object.entries(CHECKS).filter(([name]) => wants(name));
  if (checks.length === 0) return;
  const dir = mkdtempSync(join(tmpdir(), 'ts-pages-'));
  const browser = await chromium.launch({
    executablePath: browserPath,
    args: ['--no-sandbox', '--disable-gpu'],
  });
  const pictures = join(root, '.artefacts', 'editor', 'summaries');
  try {
    const desk = { browser, dir, root, pictures, ...(await loadProject(root, dir)) };
    for (const [name, run] of checks)
      await run(desk).then(
        () => told(name),
        (error) => told(name, error),
      );
  } finally {
    await browser.close();
    rmSync(dir, { recursive: true, force: true });
  }
}

/** What is checked, made from the source as it stands. */
async function loadProject(root, dir) {
  const contents = `
    export { panelPage } from './client/panel-page.ts';
    export { memoryFiles } from './server/shop/files.ts';
    export { createShop } from './server/shop/shop.ts';
    export { renderHtml } from './server/summary/html.ts';
    export { renderMarkdown } from './server/summary/markdown.ts';
    export { FOR_HOSTS, HOSTILE, ODD, sheetWith } from './tests/summary/hostile-sheets.ts';`;
  const outfile = join(dir, 'project.cjs');
  await build({
    stdin: { contents, resolveDir: root, loader: 'ts' },
    absWorkingDir: root,
    bundle: true,
    format: 'cjs',
    platform: 'node',
    outfile,
    logLevel: 'error',
  });
  return import(pathToFileURL(outfile).href);
}

const CHECKS = {
  'sheets that mean harm run, fetch and link nothing': async (desk) => {
    const { browser, dir, HOSTILE, ODD, FOR_HOSTS, sheetWith, renderHtml, renderMarkdown, panelPage } = desk;
    // As deep as jobs lie at most: what a page links to must stay inside the shop.
    const shop = join(dir, 'shop');
    const folder = join(shop, 'jobs', '2026');
    mkdirSync(folder, { recursive: true });
    const home = pathToFileURL(`${shop}/`).href;
    const watched = await watch(browser, home);
    /** Several pages side by side in one window, each a frame. */
    const visit = async (words, pages) => {
      for (const [i, html] of pages.entries()) writeFileSync(join(folder, `${i}.html`), html);
      const frames = pages.map((_, i) => `<iframe src="${i}.html"></iframe>`);
      const file = join(folder, 'frames.html');
      writeFileSync(file, `<!DOCTYPE html><meta charset="utf-8">${frames.join('')}`);
      const urls = pages.map((_, i) => pathToFileURL(join(folder, `${i}.html`)).href);
      await watched.visit(pathToFileURL(file).href, JSON.stringify(words.slice(0, 60)), { frames: urls });
    };

    const harmful = '<img src=x onerror=harmed()><a href="../../../x.jpg" onclick="alert()">x</a>';
    await visit('a control', [harmful, harmful]);
    for (const noticed of ['harmed', 'request', '<img>', 'outside', 'onclick'])
      if (watched.harm.filter((each) => each.includes(noticed)).length < 2)
        throw new Error(`${noticed} goes unnoticed`);
    watched.harm.length = 0;

    const panel = await watch(browser, home);
    writeFileSync(join(folder, 'panel.html'), panelPage('0123456789abcdef'));
    await panel.page.addInitScript(STAND_IN);
    await panel.visit(pathToFileURL(join(folder, 'panel.html')).href, 'the panel, empty', { root: 'main' });

    for (const words of [...HOSTILE, ...ODD, ...FOR_HOSTS]) {
      const analysis = await analyse(desk, { 'jobs/1.tagstrip.md': sheetWith(words) });
      const readers = READERS.filter(({ name }) => name !== 'customer');
      const careless = readers.map((options) => asCarelessHost(renderMarkdown(analysis, options)));
      // What only a host of Markdown makes something of is words to a page.
      const pages = FOR_HOSTS.includes(words)
        ? []
        : readers.map((options) => ({ html: renderHtml(analysis, options), options }));
      await visit(words, [...careless, ...pages.map(({ html }) => html)]);
      for (const { html, options } of pages) {
        await panel.page.evaluate(tellPage, { html, shown: { sheet: 's', withReadings: false, ...options } });
        const where = `the panel for the ${options.name}: ${JSON.stringify(words.slice(0, 60))}`;
        await panel.look(where, { root: 'main' });
        if (await panel.page.evaluate(findDifference, html)) throw new Error(`${where} is not as the page`);
      }
    }
    const harm = [...watched.harm, ...panel.harm];
    if (harm.length > 0) throw new Error(`${harm.length} times: ${harm.slice(0, 5).join('; ')}`);
  },

  'the panel’s page changes only what differs, and leads to the sheet’s lines': async (desk) => {
    const { browser, dir, root, renderHtml, panelPage } = desk;
    const { page, harm, visit } = await watch(browser, pathToFileURL(`${dir}/`).href);
    await page.addInitScript(STAND_IN);
    writeFileSync(join(dir, 'panel.html'), panelPage('0123456789abcdef'));
    await visit(pathToFileURL(join(dir, 'panel.html')).href, 'the panel', { root: 'main' });
    const sheets = readSamples(root);
    const job = Object.keys(sheets).find((path) => path.includes('2047'));
    const show = async (change = (text) => text, options = { reader: 'bench' }) => {
      const analysis = await analyse(desk, { ...sheets, [job]: change(sheets[job]) }, job);
      const shown = { sheet: job, withReadings: false, ...options };
      await page.evaluate(tellPage, { html: renderHtml(analysis, options), shown });
    };
    const heard = () => page.evaluate(() => globalThis.heard.splice(0));
    const is = (what, value, wanted) => {
      if (JSON.stringify(value) !== JSON.stringify(wanted))
        throw new Error(`${what}: ${JSON.stringify(value)} and not ${JSON.stringify(wanted)}`);
    };

    await show();
    is('first', await heard(), [{ kind: 'ready' }]);
    await page.evaluate(() => {
      for (const section of document.querySelectorAll('main section')) section.marked = true;
      document.querySelector('main tr[data-line]').focus();
      window.scrollTo(0, 900);
    });
    const seen = () =>
      page.evaluate(() => {
        const row = [...document.querySelectorAll('main h2')].find((h) => h.getBoundingClientRect().top > 60);
        return [row.textContent, Math.round(row.getBoundingClientRect().top)];
      });
    const before = await seen();
    // A paragraph more, far above of what is seen.
    await show((text) => text.replace('## As found', 'And then it hummed.\n\nAnd crackled.\n\n## As found'));
    await page.waitForTimeout(100);
    is('what is seen after an edit above', await seen(), before);
    const kept = await page.evaluate(() => [
      [...document.querySelectorAll('main section')].every((section) => section.marked),
      document.activeElement.matches('main tr[data-line]'),
      document.querySelectorAll('main [tabindex="0"]').length,
    ]);
    is('sections stay, one has the focus, one is a stop', kept, [true, true, 1]);

    await page.evaluate(() => document.activeElement.blur());
    const row = page.locator('main tr[data-line]', { hasText: 'C10' }).first();
    const line = Number(await row.getAttribute('data-line'));
    await row.click();
    is('a click', await heard(), [{ kind: 'line', line }]);
    await page.keyboard.press('Tab');
    await row.focus();
    await page.keyboard.press('Enter');
    is('Enter', await heard(), [{ kind: 'line', line }]);
    await page.keyboard.press('ArrowDown');
    await page.keyboard.press('ArrowUp');
    await page.keyboard.press('Enter');
    is('there and back', await heard(), [{ kind: 'line', line }]);
    await page.locator('main a', { hasText: '2047-r20-c10.jpg' }).click();
    is('a photograph', await heard(), [{ kind: 'photo', path: '../photos/2047-r20-c10.jpg' }]);
    await page.locator('main .warn a').click();
    is('a way on the page', await heard(), []);
    if ((await page.locator('#cautions').boundingBox()).y > 200)
      throw new Error('the cautions are not in sight');

    await page.getByLabel('Customer').check();
    is('customer', await heard(), [{ kind: 'choice', reader: 'customer', withReadings: false }]);
    await show(undefined, { reader: 'customer' });
    if ((await page.evaluate(() => scrollY)) !== 0) throw new Error('another summary begins at its top');
    await page.getByLabel('Readings before and after').check();
    is('readings', await heard(), [{ kind: 'choice', reader: 'customer', withReadings: true }]);
    await show(undefined, { reader: 'label' });
    is('label', await page.getByLabel('Readings before and after').isDisabled(), true);
    if (harm.length > 0) throw new Error(harm.join('; '));
  },

  'the summaries can be listened to, gone through by keys, and read without colours': async (desk) => {
    const { browser, dir, root, renderHtml, panelPage } = desk;
    const sheets = { ...readSamples(root), [ALARMING.path]: ALARMING.text };
    const file = join(dir, 'heard.html');
    const nonce = '0123456789abcdef';
    const colours = `<style nonce="${nonce}">${EDITOR_COLOURS}</style></head>`;
    writeFileSync(join(dir, 'panel.html'), panelPage(nonce).replace('</head>', colours));
    const alone = await browser.newPage({ viewport: { width: 900, height: 700 } });
    const panel = await browser.newPage({ viewport: { width: 700, height: 700 } });
    await panel.addInitScript(STAND_IN);
    await panel.goto(pathToFileURL(join(dir, 'panel.html')).href);
    const poor = [];
    // One with pictures and changes, one with a photograph, one that alarms, and one that is no job.
    const told = ['2052', '2047', ALARMING.path, 'larch-20.b'];
    for (const path of told.map((part) => Object.keys(sheets).find((each) => each.includes(part)))) {
      const analysis = await analyse(desk, sheets, path);
      for (const { name, ...options } of READERS) {
        if (!path.startsWith('jobs/') && name !== 'bench') continue;
        const html = renderHtml(analysis, options);
        writeFileSync(file, html);
        await alone.goto(pathToFileURL(file).href);
        await panel.evaluate(tellPage, { html, shown: { sheet: path, withReadings: false, ...options } });
        for (const [where, page] of [
          ['alone', alone],
          ['in the panel', panel],
        ]) {
          const found = [...(await page.evaluate(findPoor)), ...(await findNameless(page))];
          for (const forcedColors of ['none', 'active']) {
            await page.emulateMedia({ forcedColors });
            found.push(...(await tabThrough(page, page.mainFrame())).poor);
          }
          for (const each of new Set(found)) poor.push(`${path}, ${name}, ${where}: ${each}`);
        }
      }
    }
    await alone.close();
    await panel.close();
    if (poor.length > 0) throw new Error(`${poor.length} times: ${poor.slice(0, 4).join('; ')}`);
  },

  'what is poor of a page is noticed': async ({ browser }) => {
    const page = await browser.newPage();
    await page.setContent(POOR);
    const found = [...(await page.evaluate(findPoor)), ...(await findNameless(page))].join('\n');
    const { poor } = await tabThrough(page, page.mainFrame());
    await page.close();
    for (const wanted of POOR_FOUND)
      if (!`${found}\n${poor.join('\n')}`.includes(wanted)) throw new Error(`“${wanted}” goes unnoticed`);
  },

  'the samples’ summaries fit the screen and the paper': async (desk) => {
    const { browser, dir, root, pictures, renderHtml } = desk;
    rmSync(pictures, { recursive: true, force: true });
    mkdirSync(pictures, { recursive: true });
    const page = await browser.newPage();
    const poor = [];
    const sheets = readSamples(root);
    for (const path of Object.keys(sheets).filter((each) => /^(?:jobs|chassis|mods)\//.test(each))) {
      const analysis = await analyse(desk, sheets, path);
      const isJob = path.startsWith('jobs/');
      for (const { name, ...options } of READERS) {
        if (!isJob && name !== 'bench') continue;
        const file = join(dir, 'sample.html');
        // What is wider than the paper is printed smaller; so it is held in every language, as is a narrow panel.
        for (const language of LANGUAGES) {
          const told = { ...analysis, page: { ...analysis.page, language } };
          writeFileSync(file, renderHtml(told, options));
          await page.goto(pathToFileURL(file).href);
          for (const [media, width] of [
            ['print', PAPER_WIDTH],
            ['screen', 560],
          ]) {
            await page.setViewportSize({ width, height: 900 });
            await page.emulateMedia({ media });
            const wide = await page.evaluate(findWide);
            if (wide !== undefined) poor.push(`${path} ${name}, ${media}, ${language}: ${wide}`);
          }
        }
        await page.emulateMedia({ media: null });
        writeFileSync(file, renderHtml(analysis, options));
        const picture = `${path.replace(/^.*\/|\.tagstrip\.md$/g, '')} ${name}`.replaceAll(' ', '-');
        for (const [colorScheme, width] of [
          ['light', 1000],
          ['dark', 560],
        ]) {
          await page.setViewportSize({ width, height: 900 });
          await page.emulateMedia({ colorScheme });
          await page.goto(pathToFileURL(file).href);
          const wide = await page.evaluate(findWide);
          if (wide !== undefined) poor.push(`${picture} at ${width}: ${wide}`);
          await page.screenshot({ path: join(pictures, `${picture}-${colorScheme}.png`), fullPage: true });
        }
        for (const format of PAPERS) {
          const pdf = join(dir, 'sample.pdf');
          await page.pdf({ path: pdf, format });
          const pages = readFileSync(pdf, 'latin1').match(/\/Type\s*\/Page\b/g)?.length ?? 0;
          if (pages === 0 || pages > (MOST_PAGES[name] ?? Number.POSITIVE_INFINITY))
            poor.push(`${picture}: ${pages} pages of ${format}`);
          if (pages > 1 && linesOf(pdf, pages) < LEAST_LINES)
            poor.push(`${picture}: a last page of ${format} for ${linesOf(pdf, pages)} lines`);
          // Of the bench's many pages one paper is enough to look at.
          if (name === 'bench' && format !== PAPERS[0]) continue;
          execFileSync('pdftoppm', ['-r', '60', '-png', pdf, join(pictures, `${picture}-${format}`)]);
        }
      }
    }
    await page.close();
    if (poor.length > 0) throw new Error(poor.join('; '));
  },
};

/** How many lines stand on a page of paper. */
function linesOf(pdf, page) {
  const text = execFileSync('pdftotext', ['-layout', '-f', `${page}`, '-l', `${page}`, pdf, '-'], {
    encoding: 'utf8',
  });
  return text.split('\n').filter((line) => line.trim() !== '').length;
}

/** Markdown as the most careless host there is would show it: it lets all HTML and every address through. */
function asCarelessHost(markdown) {
  const body = micromark(markdown, {
    allowDangerousHtml: true,
    allowDangerousProtocol: true,
    extensions: [gfm()],
    htmlExtensions: [gfmHtml()],
  });
  return `<!DOCTYPE html><html><head><meta charset="utf-8"></head><body>${body}</body></html>`;
}

/** The samples by their paths in the shop. */
function readSamples(root) {
  const shop = join(root, 'samples');
  const paths = readdirSync(shop, { recursive: true }).filter((path) => path.endsWith('.tagstrip.md'));
  return Object.fromEntries(paths.sort().map((path) => [path, readFileSync(join(shop, path), 'utf8')]));
}

async function analyse({ createShop, memoryFiles }, sheets, path = Object.keys(sheets)[0]) {
  const uri = (each) => `file:///shop/${each}`;
  const files = memoryFiles(
    Object.fromEntries(Object.entries(sheets).map(([each, text]) => [uri(each), text])),
  );
  const analysis = await createShop({ files }).analyse(uri(path));
  if (analysis === undefined) throw new Error(`${path} is not there`);
  return analysis;
}

/** A page on which every harm is noticed: a script that runs, a request, a forbidden thing, a link out of the shop. */
async function watch(browser, home) {
  const page = await browser.newPage({ viewport: { width: 900, height: 700 } });
  const harm = [];
  let name = '';
  let asked = [];
  const tell = (what) => harm.push(`${what} (${name})`);
  page.on('dialog', async (dialog) => {
    tell('a dialog');
    await dialog.dismiss();
  });
  page.on('request', (request) => {
    if (!asked.includes(request.url())) tell(`a request for ${request.url().slice(0, 80)}`);
  });
  page.on('console', (message) => {
    if (message.type() === 'error') tell(`said: ${message.text().slice(0, 120)}`);
  });
  page.on('pageerror', (error) => tell(`thrown: ${error.message}`));
  await page.addInitScript(() => {
    // A frame's dialog is not shown by every browser; that it was asked for is harm enough.
    const harmed = () => console.error('harmed');
    Object.assign(globalThis, { harmed, alert: harmed, confirm: harmed, prompt: harmed, print: harmed });
    document.addEventListener('securitypolicyviolation', ({ violatedDirective, blockedURI }) =>
      console.error(`refused ${violatedDirective} ${blockedURI}`),
    );
  });
  const look = async (what, { root = 'html', frames = [] } = {}) => {
    name = what;
    const places = frames.length === 0 ? [page.mainFrame()] : page.frames().slice(1);
    for (const frame of places) for (const each of await frame.evaluate(findHarm, { home, root })) tell(each);
    // A frame that has led elsewhere is no more where it was.
    for (const url of frames) if (page.frame({ url }) === null) tell(`${url} is gone`);
  };
  const visit = async (url, what, { root, frames = [] } = {}) => {
    name = what;
    asked = [url, ...frames];
    await page.goto(url);
    await look(what, { root, frames });
  };
  return { page, harm, look, visit };
}

/** The panel's side as the page sees it. */
function STAND_IN() {
  globalThis.heard = [];
  globalThis.acquireVsCodeApi = () => ({
    postMessage: (message) => globalThis.heard.push(message),
    getState: () => undefined,
    setState: () => {},
  });
}

/** In the page: what may not be there. Handlers of the mouse, the keyboard and the focus are tried. */
function findHarm({ home, root }) {
  const OURS =
    'html head meta title style body main header hr section p h1 h2 h3 figure figcaption dl div dt dd ul ol li table caption thead tbody tr th td strong em span a pre code blockquote bdi svg g path rect line circle text tspan defs pattern clippath polyline polygon desc'.split(
      ' ',
    );
  const found = [];
  for (const element of document.querySelector(root).querySelectorAll('*')) {
    if (!OURS.includes(element.localName.toLowerCase())) found.push(`<${element.localName}>`);
    for (const { name, value } of element.attributes) {
      if (/^on|^style$|^src|^xlink|^action|^formaction|^data$|^poster|^background/.test(name))
        found.push(`${name} at <${element.localName}>`);
      if (name !== 'href' || value === '#cautions') continue;
      if (!new URL(value, location.href).href.startsWith(home)) found.push(`a link outside: ${value}`);
    }
    for (const type of ['mouseover', 'mouseenter', 'focus', 'toggle', 'load', 'error'])
      element.dispatchEvent(new Event(type));
  }
  return found;
}

/** In the panel's page: as its panel would tell it. */
function tellPage({ html, shown }) {
  window.dispatchEvent(new MessageEvent('message', { data: { kind: 'summary', html, shown } }));
}

/** In the panel's page: whether anything else stands there than on the page itself. */
function findDifference(html) {
  const whole = new DOMParser().parseFromString(html.replace(/<style>[\s\S]*?<\/style>/, ''), 'text/html');
  const plain = (main) => main.innerHTML.replace(/ (?:tabindex="-?\d"|aria-label="[^"]*"|role="group")/g, '');
  return plain(document.querySelector('main')) !== plain(whole.querySelector('main'));
}

/** In a page: what is wider than the page; undefined where all fits. */
function findWide() {
  // A picture's letters stay readable, so that in a narrow panel it is moved sideways under the reader's hand.
  const isScrolled = (element) => {
    const picture = element.closest('.plot')?.parentElement;
    return picture != null && getComputedStyle(picture).overflowX === 'auto';
  };
  if (document.documentElement.scrollWidth > innerWidth)
    return `${document.documentElement.scrollWidth} wide`;
  const edge = document.querySelector('main').getBoundingClientRect().right;
  const wide = [...document.querySelectorAll('main *')].find(
    (element) =>
      !element.closest('.unseen') && !isScrolled(element) && element.getBoundingClientRect().right > edge + 1,
  );
  return wide && `<${wide.localName} class="${wide.getAttribute('class')}"> ${wide.textContent.slice(0, 40)}`;
}
