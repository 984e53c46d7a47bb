/** Owns the mains that a sheet says the amplifier is made for: `mains: 230 V 50 Hz` of its front matter, or of its chassis sheet's. */
import { highMains, type MainsFactor } from '../../catalogue/mains-facts.ts';
import { mainsVoltsIn } from '../../sheet/mains-field.ts';
import type { Sheet } from '../../sheet/model.ts';
import { volts } from '../../units/si.ts';
import type { Amplifier, FigureInput } from '../model.ts';
import { assumed, input, knownBy } from './figure.ts';

const FREQUENCY = /(\d+(?:\.\d+)?)\s*Hz/i;
const VOLTS = /(\d+(?:\.\d+)?)\s*V/i;

function findField(
  sheets: readonly Sheet[],
):
  | { readonly text: string; readonly file: string; readonly span: { start: number; end: number } }
  | undefined {
  for (const sheet of sheets) {
    const field = sheet.field('mains');
    // Of several volts (`100/120/230/240 V`) none is what it is set to: the next sheet may say it.
    if (field !== undefined && mainsVoltsIn(field.text).length < 2)
      return { text: field.text, span: field.span, file: sheet.uri };
  }
  return undefined;
}

/** The sheets that may say the mains, the nearest first: the job, its chassis sheet, those that it follows, the shop. */
export function sheetsOf({ sheet, chassis, follows, shopSheet }: Amplifier): readonly Sheet[] {
  return [sheet, chassis, ...[...follows].reverse(), shopSheet].filter((each) => each !== undefined);
}

/** Volts of the nominal mains. */
export function mainsVolts(sheets: readonly Sheet[]): FigureInput | undefined {
  const field = findField(sheets);
  const value = Number(VOLTS.exec(field?.text ?? '')?.[1]);
  if (field === undefined || !(value > 0)) return undefined;
  const source = { file: field.file, span: field.span };
  return input('Vm', 'mains', knownBy(value, 'V', 'fitted', undefined, source));
}

/** Written, or what goes with the volts: 60 Hz on 100 to 130 V, else 50 Hz. Undefined where neither is said. */
export function mainsFrequency(sheets: readonly Sheet[]): FigureInput | undefined {
  const field = findField(sheets);
  const written = Number(FREQUENCY.exec(field?.text ?? '')?.[1]);
  if (field !== undefined && written > 0) {
    const source = { file: field.file, span: field.span };
    return input('f', 'mains', knownBy(written, 'Hz', 'fitted', undefined, source));
  }
  const supply = mainsVolts(sheets)?.known.quantity.value;
  if (supply === undefined) return undefined;
  const usual = supply > 105 && supply <= 130 ? 60 : 50;
  return input('f', 'mains', assumed(usual, 'Hz', `${usual} Hz goes with ${supply} V mains`));
}

/** Where no sheet says the mains. */
const USUAL_MAINS = 230;

/** How far the mains that the amplifier is made for may rise above its nominal, and who says so. */
export function usualHighMains(sheets: readonly Sheet[]): MainsFactor {
  return highMains(volts(mainsVolts(sheets)?.known.quantity.value ?? USUAL_MAINS));
}
