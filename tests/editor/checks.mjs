// The checks of the page, in the order in which they are made: each leaves the editor as it found it. One without `editions` is made
// in every edition. What the extension has beside the language, and the summary's panel, are checked in files of their own.
import { CLIENT_CHECKS, ORDINARY_CHECKS } from './client-checks.mjs';
import { PANEL_CHECKS } from './panel-checks.mjs';
import { killServer, serversOf } from './processes.mjs';
import { BENCH, HOT_VALVE, NEVER_OPENED } from './sheets.mjs';

export { FIRST, ORDINARY, SHEETS } from './sheets.mjs';
export { ORDINARY_CHECKS };

/** What is checked of the language: findings, values, hovers, completion, fixes. */
const LANGUAGE_CHECKS = [
  {
    name: 'a squiggle under the pulled grid, with its message',
    run: async ({ page, picture, line, includes, command }) => {
      await command('Problems: Focus on Problems View');
      const row = page.locator('.markers-panel .monaco-list-row', { hasText: 'C10' }).first();
      await row.waitFor();
      includes(await row.textContent(), 'the grid of V4', 'leaks');
      await picture('00 problems');
      await command('View: Toggle Panel Visibility');
      await line('Larch 20, blue cloth').click();
    },
  },
  {
    name: 'values at the ends of a chart’s rows',
    run: async ({ line, textOf, includes, goTo }) => {
      await goTo(HOT_VALVE, '| V4    | 326.7');
      await line('| V4    | 326.7').locator('span', { hasText: '25.2' }).first().waitFor();
      includes(await textOf('| V4    | 326.7'), 'V4 25.2 W, 109 %');
      includes(await textOf('| V3    | 328.5'), 'V3 19.7 W, 86 %');
    },
  },
  {
    name: 'a hover with the verdict, what it rests on, and the formula with its numbers',
    run: async ({ page, picture, includes, hoverOn }) => {
      const text = await hoverOn('| V4    | 326.7', 'V4', 'anode dissipation');
      includes(text, 'V4 25.2 W, 109 % of 23 W (design-centre); as left 20 W');
      includes(text, 'read on line 27', 'chassis sheet');
      includes(text, '(Va − Vk) · (Ik − Ig2) = (326.7 V − 29.9 V) · (90.6 mA − 5.8 mA)');
      await picture('hover over V4');
      await page.mouse.move(5, 5);
    },
  },
  {
    name: 'a hover on a word of prose',
    run: async ({ page, includes, goTo, hoverOn }) => {
      await goTo(HOT_VALVE, 'leaks, {C9} is its twin');
      includes(await hoverOn('leaks, {C9}', 'C10', 'C10'), 'C10 leaks through', '22 nF 630 V paper');
      await page.mouse.move(5, 5);
    },
  },
  {
    name: 'definition goes into the chassis sheet',
    run: async ({ page, line, goTo }) => {
      await goTo(HOT_VALVE, '{R20} has run hot');
      await page.keyboard.press('Home');
      await page.keyboard.press('ArrowRight');
      await page.keyboard.press('ArrowRight');
      await page.keyboard.press('F12');
      await page.locator('.tab.active', { hasText: 'larch-20.b' }).first().waitFor();
      await line('R20 = 330R 5W wirewound').waitFor();
    },
  },
  {
    name: 'an over-run valve is underlined while its line is typed',
    run: async ({ page, measured, includes, goTo, openSheet, hoverOn }) => {
      await openSheet(BENCH, 'on the bench');
      await goTo(BENCH, 'R17 = 1,500');
      await page.locator('.squiggly-info').first().waitFor();
      await page.keyboard.press('Enter');
      await page.keyboard.type('- V5: a 331, 60 m', { delay: 40 });
      await page.waitForTimeout(600);
      const began = performance.now();
      await page.keyboard.type('A');
      await page.locator('.squiggly-error').first().waitFor();
      measured['typing to squiggle'] = Math.round(performance.now() - began);
      includes(
        await hoverOn('V5: a 331, 60 mA', '60 mA', 'dissipates'),
        'the anode of V5 dissipates',
        '12 W',
      );
      await page.mouse.move(5, 5);
    },
  },
  {
    name: 'a value appears when one leaves the line, not while typing',
    run: async ({ page, line, textOf, includes, undoAll }) => {
      await line('V5: a 331, 60 mA').click();
      await page.keyboard.press('End');
      await page.waitForTimeout(500);
      if (/W,/.test(await textOf('V5: a 331, 60 mA')))
        throw new Error(`a value stands on the line being typed: ${await textOf('V5: a 331, 60 mA')}`);
      await page.keyboard.press('ArrowUp');
      await line('V5: a 331, 60 mA').locator('span', { hasText: '146' }).first().waitFor();
      includes(await textOf('V5: a 331, 60 mA'), 'V5 16.1 to 19 W, 146 %');
      await undoAll('on the bench');
    },
  },
  {
    name: 'a half-typed value is not blamed until one leaves its line',
    run: async ({ page, goTo, undoAll }) => {
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
    },
  },
  {
    name: 'completion of refs in a tag is taken with Enter, and there is none in prose',
    run: async ({ page, picture, line, goTo, undoAll }) => {
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
    },
  },
  {
    name: 'completion of electrodes with their pins, valve types and units',
    run: async ({ page, picture, includes, goTo, undoAll }) => {
      await goTo(BENCH, 'Words about');
      await page.keyboard.type(' {V5.', { delay: 40 });
      includes(
        await page
          .locator('.suggest-widget.visible .monaco-list-row', { hasText: 'g2' })
          .first()
          .textContent(),
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
    },
  },
  {
    name: 'a quick fix mends an ambiguous value',
    run: async ({ page, picture, line, goTo, quickFix, undoAll }) => {
      await goTo(BENCH, 'R17 = 1,500');
      const item = await quickFix('Write 1k5');
      await picture('quick fixes');
      await item.click();
      await line('R17 = 1k5').waitFor();
      await page.locator('.squiggly-info').first().waitFor({ state: 'detached' });
      await undoAll('on the bench');
    },
  },
  {
    name: 'the connection that a figure lacks is one fix away',
    run: async ({ page, picture, line, includes, goTo, hoverOn, quickFix, undoAll }) => {
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
      const item = await quickFix('V5.k to gnd');
      await item.click();
      await line('R18 = 270R 5W, V5.k to gnd').waitFor();
      await line('V5: a 331, k 19.4').locator('span', { hasText: 'W, ' }).first().waitFor();
      await undoAll('on the bench');
    },
  },
  {
    name: 'headings and parts in the outline',
    run: async ({ page, picture, command }) => {
      await command('Go to Symbol in Editor...');
      const rows = page.locator('.quick-input-list .monaco-list-row');
      await rows.filter({ hasText: 'As found' }).first().waitFor();
      await rows.filter({ hasText: 'R18' }).first().waitFor();
      await picture('outline');
      await page.keyboard.press('Escape');
      await rows.first().waitFor({ state: 'hidden' });
    },
  },
  {
    name: 'a new job sheet for two keys, on the chassis of the last',
    run: async ({ page, line, openSheet, command }) => {
      await openSheet(HOT_VALVE, 'Larch 20, blue cloth');
      await page.keyboard.press('Alt+J');
      await line('## Complaint').waitFor();
      await line('chassis: ../chassis/larch-20.b.tagstrip.md').waitFor();
      await line('discharged through 10k').waitFor();
      await page.keyboard.type('2061');
      await line('job: 2061').waitFor();
      await page.waitForTimeout(600);
      if (await page.locator('.editor-group-container.active [class*=squiggly]').count())
        throw new Error('a new sheet begins with findings');
      await command('View: Revert and Close Editor');
    },
  },
  {
    name: 'a setting takes effect as soon as it is set',
    run: async ({ page, openSheet, line, textOf, setSettings }) => {
      await openSheet(HOT_VALVE, '| V4    | 326.7');
      await line('| V4    | 326.7').locator('span', { hasText: '25.2' }).first().waitFor();
      await setSettings({ 'tagstrip.inlayValues': false, 'tagstrip.findings.minimum': 'error' });
      await openSheet(HOT_VALVE, '| V4    | 326.7');
      await line('| V4    | 326.7')
        .locator('span', { hasText: '25.2' })
        .first()
        .waitFor({ state: 'detached' });
      await page.locator('.squiggly-info').first().waitFor({ state: 'detached' });
      if ((await textOf('| V4    | 326.7')).includes(' W,')) throw new Error('a value is still there');
      await setSettings({});
      await openSheet(HOT_VALVE, '| V4    | 326.7');
      await line('| V4    | 326.7').locator('span', { hasText: '25.2' }).first().waitFor();
    },
  },
  {
    name: 'every sheet of the workspace is checked where that is set, and the findings go when it is not',
    run: async ({ page, openSheet, command, picture, setSettings }) => {
      await setSettings({ 'tagstrip.checkWorkspace': 'allSheets' });
      await command('Problems: Focus on Problems View');
      const other = page.locator('.markers-panel .monaco-list-row', { hasText: NEVER_OPENED }).first();
      await other.waitFor();
      await picture('problems of all sheets');
      await setSettings({});
      await command('Problems: Focus on Problems View');
      await other.waitFor({ state: 'detached' });
      await command('View: Toggle Panel Visibility');
      await openSheet(HOT_VALVE, 'Larch 20, blue cloth');
    },
  },
  {
    name: 'a server that was killed is back',
    editions: ['node'],
    run: async ({ page, host, openSheet, hoverOn, includes }) => {
      await openSheet(HOT_VALVE, '| V4    | 326.7');
      const before = serversOf(host);
      if (before.length !== 1) throw new Error(`${before.length} servers run`);
      killServer(host);
      for (let tries = 0; serversOf(host).every((id) => before.includes(id)); tries++) {
        if (tries > 100) throw new Error('no server came back');
        await page.waitForTimeout(100);
      }
      includes(await hoverOn('| V4    | 326.7', 'V4', 'anode dissipation'), 'V4 25.2 W');
      await page.locator('.squiggly-info').first().waitFor();
      await page.mouse.move(5, 5);
    },
  },
];

export const CHECKS = [
  ...LANGUAGE_CHECKS,
  ...CLIENT_CHECKS,
  ...PANEL_CHECKS,
  {
    name: 'nothing was asked of the network',
    run: async ({ outside }) => {
      if (outside.size > 0) throw new Error([...outside].join(' '));
    },
  },
];
