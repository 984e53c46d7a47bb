// The checks of the summary's panel in the editor. What its page does by itself is checked in summaries.mjs.
import { findPoor, tabThrough } from './accessibility.mjs';
import { HOT_VALVE } from './sheets.mjs';

const TITLE = 'Larch 20, blue cloth';

/** The page inside the panel. */
const inside = (page) => page.frameLocator('iframe.webview.ready').frameLocator('iframe#active-frame');

/** Fails where the panel is poor to listen to or to go through by keys. */
async function failOnPoor(page, inner) {
  const { poor, stops } = await tabThrough(page, inner);
  poor.push(...(await inner.locator('body').evaluate(findPoor)));
  if (stops.length < 3) poor.push(`only ${stops.join(' and ')} can be reached`);
  if (poor.length > 0) throw new Error(poor.slice(0, 4).join('; '));
  // For the picture: on a line, where the keyboard has brought it.
  await inner.locator('main [tabindex="0"]').first().focus();
  await page.keyboard.press('ArrowDown');
}

export const PANEL_CHECKS = [
  {
    name: 'the panel shows the summary in the editor’s colours, and follows what is typed without moving',
    run: async ({ page, picture, includes, line, command, openSheet, undoAll }) => {
      await openSheet(HOT_VALVE, TITLE);
      await command('Tagstrip: Show Summary for the Bench');
      const inner = inside(page);
      await inner.locator('main h1', { hasText: TITLE }).waitFor();
      await picture('panel for the bench');
      const [panel, editor] = [
        await inner.locator('body').evaluate((body) => getComputedStyle(body).backgroundColor),
        await page
          .locator('.monaco-editor')
          .first()
          .evaluate((each) => getComputedStyle(each).backgroundColor),
      ];
      if (panel !== editor) throw new Error(`the panel is ${panel}, the editor ${editor}`);
      const scrollTo = (y) => inner.locator('body').evaluate((_, to) => window.scrollTo(0, to), y);
      const seen = () =>
        inner
          .locator('main h2')
          .nth(4)
          .evaluate((head) => head.getBoundingClientRect().top);
      await scrollTo(700);
      const before = await seen();
      await line(TITLE).click();
      await page.keyboard.press('End');
      await page.keyboard.type(' and gold', { delay: 30 });
      await inner.locator('main h1', { hasText: `${TITLE} and gold` }).waitFor();
      const after = await seen();
      if (Math.abs(after - before) > 2) throw new Error(`what is seen moved from ${before} to ${after}`);
      await command('Tagstrip: Show Summary for the Customer');
      await inner.getByText('A leaking capacitor was pushing').first().waitFor();
      await picture('panel for the customer');
      includes(
        await page.locator('.tab', { hasText: 'Summary for the customer' }).first().textContent(),
        'Summary',
      );
      await line(TITLE).click();
      await undoAll(TITLE);
    },
  },
  {
    name: 'the panel leads to the line that a thing comes from, by the mouse and by the keyboard',
    run: async ({ page, fileText, command, openSheet }) => {
      await openSheet(HOT_VALVE, TITLE);
      await command('Tagstrip: Show Summary for the Bench');
      const inner = inside(page);
      const row = inner.locator('main tr.told', { hasText: 'C10' }).first();
      await row.waitFor();
      const wanted =
        fileText(HOT_VALVE)
          .split('\n')
          .findIndex((each) => each.startsWith('- C10 = ')) + 1;
      const caret = (number) =>
        page
          .locator('.statusbar-item', { hasText: new RegExp(`Ln ${number}, Col 1`) })
          .first()
          .waitFor();
      await row.click();
      await caret(wanted);
      await row.focus();
      await page.keyboard.press('ArrowDown');
      await page.keyboard.press('ArrowDown');
      await page.keyboard.press('Enter');
      await caret(wanted + 1);
    },
  },
  {
    name: 'the panel can be listened to, and gone through by keys',
    run: async ({ page, picture, command, openSheet }) => {
      await openSheet(HOT_VALVE, TITLE);
      await command('Tagstrip: Show Summary for the Bench');
      const inner = inside(page);
      await inner.locator('main h1', { hasText: TITLE }).waitFor();
      await failOnPoor(page, inner);
      await picture('focus in the panel');
    },
  },
  {
    name: 'the panel shows each reader’s summary, as chosen in it, and is back after the window was loaded anew',
    run: async ({ page, picture, command, openSheet }) => {
      // With nothing left to bring back, the panel that is seen is the one that the command shows.
      await command('View: Close All Editors');
      // A window that is told to open a file opens that alone.
      const plain = new URL(page.url());
      plain.searchParams.delete('payload');
      await page.goto(plain.href);
      await openSheet(HOT_VALVE, TITLE);
      await command('Tagstrip: Show Summary for the Bench');
      const inner = inside(page);
      await inner.locator('main h1', { hasText: TITLE }).waitFor();
      await inner.getByLabel('Customer').check();
      await inner.getByText('Service report').waitFor();
      await inner.getByLabel('Readings before and after').check();
      await inner.locator('h2', { hasText: 'Before and after' }).waitFor();
      await inner.getByLabel('Chassis label').check();
      await inner.getByText('Bias at check-out').waitFor();
      await picture('panel with the label');
      await page.locator('.tab', { hasText: '2047' }).first().click();
      const again = page.waitForEvent('load');
      await command('Developer: Reload Window');
      await again;
      await inner.getByText('Bias at check-out').waitFor();
      if (!(await inner.getByLabel('Chassis label').isChecked())) throw new Error('another reader is chosen');
      await inner.getByLabel('Bench').check();
      await inner.locator('h2', { hasText: 'Parts changed' }).waitFor();
    },
  },
  {
    name: 'the panel follows the editor into high contrast',
    run: async ({ page, picture, command, openSheet, setSettings }) => {
      await openSheet(HOT_VALVE, TITLE);
      await command('Tagstrip: Show Summary for the Bench');
      const inner = inside(page);
      await inner.locator('main h1', { hasText: TITLE }).waitFor();
      for (const [theme, wanted] of [
        ['Default High Contrast', ['rgb(0, 0, 0)', 'rgb(255, 255, 255)']],
        ['Default High Contrast Light', ['rgb(255, 255, 255)', 'rgb(41, 41, 41)']],
      ]) {
        await setSettings({ 'workbench.colorTheme': theme });
        await page.locator('.tab', { hasText: 'Summary for the bench' }).first().click();
        await inner.locator('main h1', { hasText: TITLE }).waitFor();
        const colours = await inner.locator('body').evaluate((body) => {
          const { backgroundColor, color } = getComputedStyle(body);
          return [backgroundColor, color];
        });
        await picture(`panel in ${theme}`);
        if (JSON.stringify(colours) !== JSON.stringify(wanted))
          throw new Error(`${theme}: ${colours.join(' ')}`);
        await failOnPoor(page, inner);
        await picture(`focus in ${theme}`);
      }
      await setSettings({});
      await command('View: Close All Editors');
      await openSheet(HOT_VALVE, TITLE);
    },
  },
];
