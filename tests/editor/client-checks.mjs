// The checks of what the extension has beside the language: the foot of the window, commands, snippets, the walkthrough, the
// Markdown preview, and how it takes the end of its server.
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { killServer, serversOf } from './processes.mjs';
import { ALDER, ALDER_CHASSIS, BENCH, HOT_VALVE, ORDINARY } from './sheets.mjs';

const statusOf = (page) => page.locator('.statusbar-item[id="tagstrip.tagstrip.findings"]');

/** What stands in the newest page that an extension shows. */
const insideOf = (page) =>
  page.frameLocator('iframe.webview.ready >> nth=-1').frameLocator('iframe#active-frame');

async function openPreview({ page, command }) {
  await command('Markdown: Open Preview to the Side');
  await page.locator('.editor-group-container >> nth=1').waitFor();
  return insideOf(page);
}

async function closePreview({ page }) {
  await page.locator('.tab', { hasText: 'Preview' }).click({ button: 'middle' });
  await page.locator('.editor-group-container >> nth=1').waitFor({ state: 'detached' });
}

async function saveAll({ page, command }) {
  await command('File: Save All Files');
  await page.locator('.tab.dirty').first().waitFor({ state: 'detached' });
}

/** Waits until a file on the disk is what is wanted. */
async function untilOnDisk({ page, fileText }, file, isSo) {
  for (let tries = 0; !isSo(fileText(file)); tries++) {
    if (tries > 50) throw new Error(`${file} is on the disk as:\n${fileText(file)}`);
    await page.waitForTimeout(100);
  }
}

async function failOnSquiggles({ page }, what) {
  await page.waitForTimeout(800);
  if (await page.locator('.editor-group-container.active [class*=squiggly]').count())
    throw new Error(`${what} begins with findings`);
}

/** Made before any sheet is open, with a Markdown file that is none. */
export const ORDINARY_CHECKS = [
  {
    name: 'an ordinary Markdown file starts no server and has no place at the foot of the window',
    run: async ({ page, host, edition, asked, measured, command, picture }) => {
      await command('Developer: Show Running Extensions');
      const list = page.locator('.runtime-extensions-editor');
      const row = list.locator('.monaco-list-row', { hasText: 'Tagstrip' }).first();
      const time = row.locator('.activation-time').filter({ hasText: 'ms' });
      await list.locator('.monaco-list-row').first().hover();
      // The slowest stand first, and what is out of sight is not in the page: one that is quick has to be scrolled to.
      for (let tries = 1; !(await time.isVisible()); tries++) {
        if (tries > 80) throw new Error('its activation time is not shown');
        await page.mouse.wheel(0, tries % 10 === 0 ? -5000 : 300);
        await page.waitForTimeout(250);
      }
      measured['activation beside an ordinary file'] = await time.textContent();
      await picture('running extensions');
      await page.waitForTimeout(1000);
      if (edition === 'node' && serversOf(host).length > 0) throw new Error('a server runs');
      if (asked.some((url) => url.includes('tagstrip-worker'))) throw new Error('a worker was loaded');
      if (await statusOf(page).isVisible()) throw new Error('it stands at the foot of the window');
    },
  },
  {
    name: 'an ordinary Markdown file is previewed as ever, and no snippet is offered in it',
    run: async ({ page, command, goTo, picture, includes }) => {
      await command('View: Close Editor');
      await page.locator('.tab', { hasText: ORDINARY.file }).click();
      const inner = await openPreview({ page, command });
      await inner.getByText('It speaks of').waitFor();
      includes(await inner.locator('p').first().textContent(), '{V5: a 347}', '{mains: 236 V}');
      if (await inner.locator('.tagstrip-tag').count())
        throw new Error('a tag is set in a file that is no sheet');
      await picture('preview of an ordinary file');
      await closePreview({ page });
      await page.locator('.tab', { hasText: ORDINARY.file }).click();
      await goTo(ORDINARY.file, 'It speaks');
      await page.keyboard.press('Enter');
      await page.keyboard.press('Enter');
      await page.keyboard.type('saf', { delay: 40 });
      await page.keyboard.press('Control+Space');
      await page.waitForTimeout(800);
      if (await page.locator('.suggest-widget.visible .monaco-list-row', { hasText: 'safety' }).count())
        throw new Error('a snippet for sheets is offered');
      await page.keyboard.press('Escape');
      await command('Revert File');
    },
  },
];

export const CLIENT_CHECKS = [
  {
    name: 'the foot of the window counts the findings in words, and leads to them',
    run: async ({ page, picture, openSheet, includes, goTo, undoAll, command }) => {
      const status = statusOf(page);
      await openSheet(HOT_VALVE, 'Larch 20, blue cloth');
      await status.filter({ hasText: '1 note' }).waitFor();
      includes(await status.textContent(), 'Sheet: 1 note');
      const label = await status.locator('[aria-label]').first().getAttribute('aria-label');
      includes(label, 'Sheet: 1 note', 'Shows the problems list');
      await openSheet(BENCH, 'on the bench');
      await goTo(BENCH, 'R17 = 1,500');
      await page.keyboard.press('Enter');
      await page.keyboard.type('- V5: a 331, 60 mA', { delay: 10 });
      await status.filter({ hasText: 'Sheet: 1 error, 1 note' }).waitFor();
      await status.click();
      const list = page.locator('.markers-panel .monaco-list-row', { hasText: 'the anode of V5 dissipates' });
      await list.first().waitFor();
      await picture('counts at the foot of the window');
      await command('View: Toggle Panel Visibility');
      await undoAll('on the bench');
      await status.filter({ hasText: 'Sheet: 1 note' }).waitFor();
    },
  },
  {
    name: 'a rename goes through the job and its chassis sheet, and back',
    run: async (desk) => {
      const { page, picture, openSheet, fileText } = desk;
      const before = [fileText(ALDER), fileText(ALDER_CHASSIS)];
      await openSheet(ALDER, 'on its side');
      const rename = async (from, to) => {
        await desk.line(`Paint on {${from}}`).click();
        await page.keyboard.press('Home');
        for (let i = 0; i < 'Paint on {R'.length; i++) await page.keyboard.press('ArrowRight');
        await page.keyboard.press('F2');
        const box = page.locator('.rename-box input');
        await box.waitFor();
        await box.fill(to);
        await picture(`rename ${from}`);
        await page.keyboard.press('Enter');
        await desk.line(`Paint on {${to}}`).waitFor();
        await saveAll(desk);
      };
      await rename('R7', 'R70');
      await untilOnDisk(desk, ALDER, (text) => text === before[0].replaceAll('R7', 'R70'));
      await untilOnDisk(desk, ALDER_CHASSIS, (text) => text === before[1].replaceAll('R7', 'R70'));
      await rename('R70', 'R7');
      await untilOnDisk(desk, ALDER, (text) => text === before[0]);
      await untilOnDisk(desk, ALDER_CHASSIS, (text) => text === before[1]);
    },
  },
  {
    name: 'a quick fix is applied, and saved',
    run: async (desk) => {
      const { page, line, goTo, openSheet, fileText, quickFix } = desk;
      await openSheet(BENCH, 'on the bench');
      const before = fileText(BENCH);
      await goTo(BENCH, 'R17 = 1,500');
      await (await quickFix('Write 1k5')).click();
      await line('R17 = 1k5').waitFor();
      await page.keyboard.press('Control+S');
      await untilOnDisk(desk, BENCH, (text) => text === before.replace('1,500', '1k5'));
      await page.keyboard.press('Control+Z');
      await line('R17 = 1,500').waitFor();
      await page.keyboard.press('Control+S');
      await untilOnDisk(desk, BENCH, (text) => text === before);
    },
  },
  ...[
    ['Chassis', '## Supply'],
    ['Mod', '| Ref | Was'],
    ['Shop', '## Conditions we read under'],
  ].map(([kind, text]) => ({
    name: `a new ${kind.toLowerCase()} sheet from its template, without findings`,
    run: async (desk) => {
      const { line, command, openSheet, picture } = desk;
      await openSheet(HOT_VALVE, 'Larch 20, blue cloth');
      await command(`Tagstrip: New ${kind} Sheet`);
      await line(text).waitFor();
      if (kind === 'Mod')
        await line('written-for: ../chassis/larch-20.b.tagstrip.md')
          .or(line('written-for: chassis/larch-20.b.tagstrip.md'))
          .first()
          .waitFor();
      await failOnSquiggles(desk, `a new ${kind} sheet`);
      await picture(`new ${kind} sheet`);
      await command('View: Revert and Close Editor');
      await line('Larch 20, blue cloth').waitFor();
    },
  })),
  {
    name: 'a snippet is taken where a line begins, and its blanks are gone through',
    run: async ({ page, picture, line, openSheet, goTo, undoAll }) => {
      await openSheet(ALDER, 'chassis: ');
      await page.keyboard.press('Enter');
      await page.keyboard.type('ser', { delay: 40 });
      await page.keyboard.press('Control+Space');
      const offered = page.locator('.suggest-widget.visible .monaco-list-row');
      await offered.filter({ hasText: 'serial' }).first().waitFor();
      for (let i = 0; i < 3; i++) await page.keyboard.press('Backspace');
      await page.keyboard.press('Control+Space');
      await offered.filter({ hasText: 'serial' }).first().waitFor();
      if (await offered.filter({ hasText: 'Intake' }).count())
        throw new Error('a snippet is offered in the head of a sheet');
      await page.keyboard.press('Escape');
      await undoAll('on its side');
      await openSheet(BENCH, 'on the bench');
      await goTo(BENCH, 'Words about');
      await page.keyboard.press('Enter');
      await page.keyboard.press('Enter');
      await page.keyboard.type('nod', { delay: 40 });
      await page.keyboard.press('Control+Space');
      const row = page.locator('.suggest-widget.visible .monaco-list-row', { hasText: 'nodes' }).first();
      await row.waitFor();
      await picture('a snippet is offered');
      await page.keyboard.press('Enter');
      await line('- B+1: ? V, ? Vpp').waitFor();
      await page.keyboard.press('Tab');
      await page.keyboard.type('335');
      await page.keyboard.press('Tab');
      await page.keyboard.type('20');
      await line('- B+1: 335 V, 20 Vpp').waitFor();
      await picture('a snippet is filled in');
      await undoAll('on the bench');
    },
  },
  {
    name: 'a snippet is written by its command, from the keyboard alone',
    run: async ({ page, picture, line, openSheet, goTo, undoAll, command }) => {
      await openSheet(BENCH, 'on the bench');
      await goTo(BENCH, 'Words about');
      await page.keyboard.press('Enter');
      await page.keyboard.press('Enter');
      await command('Tagstrip: Insert Snippet');
      await page
        .locator('.quick-input-list .monaco-list-row', { hasText: 'Safety before it is opened' })
        .waitFor();
      await picture('snippets');
      await page.keyboard.type('safety', { delay: 20 });
      await page.keyboard.press('Enter');
      await line('bleed lead left clipped on').waitFor();
      await undoAll('on the bench');
    },
  },
  {
    name: 'the Markdown preview shows tags in their own words',
    // What renders Markdown runs on the server in this host, apart from an extension on the page: there the two never meet.
    editions: ['node'],
    run: async ({ page, picture, openSheet, command, includes, measured }) => {
      await openSheet(HOT_VALVE, 'Larch 20, blue cloth');
      const inner = await openPreview({ page, command });
      const tag = inner.locator('code.tagstrip-tag');
      await tag.first().waitFor();
      includes(await tag.first().textContent(), 'mains: 233 V');
      includes((await tag.allTextContents()).join(' | '), 'C10', 'R20: 331R', 'V4');
      measured.chip = JSON.stringify(
        await tag.first().evaluate((element) => {
          const { color, backgroundColor, borderTopColor, fontFamily } = getComputedStyle(element);
          return { color, backgroundColor, borderTopColor, fontFamily };
        }),
      );
      await tag.last().scrollIntoViewIfNeeded();
      await picture('Markdown preview');
      await closePreview({ page });
    },
  },
  {
    name: 'the walkthrough ends with a sample that is checked',
    run: async ({ page, picture, command, line, textOf, includes, host }) => {
      await command('Welcome: Open Walkthrough');
      await page
        .locator('.quick-input-list .monaco-list-row', { hasText: 'A job with Tagstrip' })
        .first()
        .click();
      const steps = page.locator('.gettingStartedContainer .getting-started-step');
      await steps.first().waitFor();
      await picture('walkthrough 0');
      for (let i = 0; i < (await steps.count()); i++) {
        await steps.nth(i).locator('.step-title').click();
        await page.waitForTimeout(500);
        await picture(`walkthrough ${i + 1}`);
      }
      await page
        .locator('.gettingStartedContainer .monaco-button', { hasText: 'Open a Sample Job' })
        .first()
        .click();
      await line('# Larch 20, blue cloth').waitFor();
      await statusOf(page).filter({ hasText: 'Sheet: 1 note' }).waitFor();
      await line('C10 lifted').click();
      await line('+11.2').locator('span', { hasText: '25.2' }).first().waitFor();
      includes(await textOf('+11.2'), 'V4 25.2 W, 109 %');
      await picture('the sample');
      // It is a copy: the workspace's own file is another one.
      await page.keyboard.press('Control+End');
      await page.keyboard.type('Tried.');
      await command('File: Save');
      await page.locator('.tab.active.dirty').waitFor({ state: 'detached' });
      if (readFileSync(join(host.workspace, HOT_VALVE), 'utf8').includes('Tried.'))
        throw new Error('the workspace was written to');
      await command('View: Close Editor');
      await command('View: Close Editor');
    },
  },
  {
    name: 'a server that ends again and again is let be, and comes when it is called',
    editions: ['node'],
    run: async ({ page, host, openSheet, picture, includes }) => {
      await openSheet(HOT_VALVE, '| V4    | 326.7');
      const status = statusOf(page);
      for (let killed = 0; ; killed++) {
        if (killed > 6) throw new Error('it is started without end');
        let [id] = serversOf(host);
        for (let tries = 0; id === undefined && tries < 40; tries++) {
          await page.waitForTimeout(100);
          [id] = serversOf(host);
        }
        if (id === undefined) break;
        killServer(host);
        await page.waitForTimeout(300);
      }
      await status.filter({ hasText: 'Sheet: not checked' }).waitFor();
      await picture('not checked');
      await status.click();
      await status.filter({ hasText: 'Sheet: 1 note' }).waitFor();
      if (serversOf(host).length !== 1) throw new Error('no server came');
      includes(await status.textContent(), 'Sheet: 1 note');
      await page.keyboard.press('Escape');
    },
  },
];
