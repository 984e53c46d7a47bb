/** Holds what a shop sheet says of how its summaries are printed, and that what it cannot mean is said. */
import { describe, expect, it } from 'vitest';
import { analyse } from '../support/check.ts';

async function pageOf(settings: string) {
  const shop = `---\nsheet: shop\n${settings}\n---\n`;
  const job = await analyse('# Job\n', { 'shop.tagstrip.md': shop });
  const { findings } = await analyse(shop);
  return { page: job.page, problems: findings.map(({ message }) => message) };
}

describe('the printing of a shop', () => {
  it('is English, with a decimal point, on whatever paper there is', async () => {
    expect((await analyse('# Job\n')).page).toEqual({ language: 'en', decimal: '.' });
  });

  it('takes language, decimal sign and paper, each by itself', async () => {
    expect(await pageOf('language: de\ndecimal: comma\npaper: a4')).toEqual({
      page: { language: 'de', decimal: ',', paper: 'A4' },
      problems: [],
    });
    expect((await pageOf('paper: Letter')).page).toEqual({ language: 'en', decimal: '.', paper: 'Letter' });
  });

  it('says what it cannot mean and keeps the default', async () => {
    const { page, problems } = await pageOf('language: Latin\ndecimal: semicolon\npaper: foolscap');
    expect(page).toEqual({ language: 'en', decimal: '.' });
    expect(problems).toEqual([
      'language takes en or de, not Latin. Until it is mended the default holds.',
      'decimal takes point or comma, not semicolon. Until it is mended the default holds.',
      'paper takes A4 or Letter, not foolscap. Until it is mended the default holds.',
    ]);
  });
});
