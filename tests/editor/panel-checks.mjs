// The checks of the summary's panel.
import { HOT_VALVE } from './sheets.mjs';

export const PANEL_CHECKS = [
  {
    name: 'the summary in the panel, in the editor’s colours, following what is typed',
    run: async ({ page, picture, measured, line, command, openSheet, undoAll }) => {
      await openSheet(HOT_VALVE, 'Larch 20, blue cloth');
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
    },
  },
];
