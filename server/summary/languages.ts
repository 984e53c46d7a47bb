/** Owns which languages the summaries are written in: one file each, all of one shape. */
import type { LanguageId } from '../shop/house-sheet.ts';
import { english } from './english.ts';
import { german } from './german.ts';
import type { Words } from './words.ts';

export const languages: Readonly<Record<LanguageId, Words>> = { en: english, de: german };
