/** Owns which language an answer is given in: the terminal and programs are told in English, a page in the language of the shop. */
import type { PageStyle } from '../shop/house-sheet.ts';
import { englishSpeech, type Speech, speechOf } from '../summary/speech.ts';
import type { Call } from './verb.ts';

export function isPage({ format }: Pick<Call, 'format'>): boolean {
  return format === 'md' || format === 'html';
}

/** `page`: how the shop of the sheet prints; of many sheets that of the first, which the call carries. */
export function speechFor(
  call: Pick<Call, 'format' | 'page'>,
  page: PageStyle | undefined = call.page,
): Speech {
  return page !== undefined && isPage(call) ? speechOf(page) : englishSpeech;
}
