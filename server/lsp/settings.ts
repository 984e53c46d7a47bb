/** Owns the editor's settings under `tagstrip`: what they are, and what stands where none is set or it cannot be read. */
import type { Severity } from '../rules/rule.ts';

export interface Settings {
  /** Values at the ends of lines. */
  readonly inlayValues: boolean;
  /** Findings below this are not shown in the editor. Which finding is what, is the shop sheet's to say. */
  readonly minimum: Severity;
  /** Whether sheets are checked that are not open. */
  readonly checksAllSheets: boolean;
}

export const SECTION = 'tagstrip';

export const defaultSettings: Settings = { inlayValues: true, minimum: 'hint', checksAllSheets: false };

const RANK: Readonly<Record<Severity, number>> = { hint: 0, info: 1, warning: 2, error: 3 };

export function isShown(severity: Severity, minimum: Severity): boolean {
  return RANK[severity] >= RANK[minimum];
}

/** `given` is the editor's section `tagstrip`: nested as it is sent, or with dotted names as some editors keep it. */
export function readSettings(given: unknown): Settings {
  const minimum = find(given, 'findings', 'minimum');
  const inlayValues = find(given, 'inlayValues');
  return {
    inlayValues: typeof inlayValues === 'boolean' ? inlayValues : defaultSettings.inlayValues,
    minimum: isSeverity(minimum) ? minimum : defaultSettings.minimum,
    checksAllSheets: find(given, 'checkWorkspace') === 'allSheets',
  };
}

function isSeverity(value: unknown): value is Severity {
  return typeof value === 'string' && Object.hasOwn(RANK, value);
}

function find(section: unknown, ...path: readonly string[]): unknown {
  const dotted = entry(section, path.join('.'));
  return dotted ?? path.reduce<unknown>(entry, section);
}

function entry(section: unknown, name: string): unknown {
  if (typeof section !== 'object' || section === null || !Object.hasOwn(section, name)) return undefined;
  return (section as Readonly<Record<string, unknown>>)[name];
}
