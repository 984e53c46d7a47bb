/** Owns what a summary is for a reader: the one document that all printers print. */
import type { Analysis } from '../shop/shop.ts';
import { benchDocument } from './bench.ts';
import { customerDocument } from './customer.ts';
import type { Reader, SummaryDocument } from './document.ts';
import { labelDocument } from './label.ts';
import type { Speech } from './speech.ts';
import { tellingOf } from './telling.ts';

export interface SummaryOptions {
  readonly reader: Reader;
  /** For the customer: the before/after picture, with its volts. */
  readonly withReadings?: boolean;
  /** Else the language that the shop sheet sets. */
  readonly speech?: Speech;
}

/** One sheet's summary for one reader. The same analysis gives the same document. */
export function summarise(
  analysis: Analysis,
  { reader, withReadings = false, speech }: SummaryOptions,
): SummaryDocument {
  const telling = tellingOf(analysis, speech);
  switch (reader) {
    case 'bench':
      return benchDocument(telling);
    case 'customer':
      return customerDocument(telling, withReadings);
    case 'label':
      return labelDocument(telling);
  }
}
