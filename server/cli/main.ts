/**
 * Owns the command `tagstrip`: finds the sheets, asks the shop for their analysis, prints. It analyses nothing itself.
 * The one place on this side that catches a bug (exit 3) and that writes files.
 */
import { stat, writeFile } from 'node:fs/promises';
import { relative, resolve } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { expectedFigures } from '../bench/expected.ts';
import type { Figure } from '../bench/model.ts';
import { SEVERITIES } from '../rules/rule.ts';
import { diskFiles } from '../shop/disk-files.ts';
import { type Analysis, createShop } from '../shop/shop.ts';
import { renderHtml } from '../summary/html.ts';
import type { Snapshot } from '../text/snapshot.ts';
import { type Call, readArguments, USAGE } from './arguments.ts';
import { figureJson, findingJson, type Places, VERSION } from './json.ts';
import { findingsMarkdown } from './markdown.ts';
import { sheetJson } from './read-json.ts';
import { sheetText } from './read-text.ts';
import { sarifLog } from './sarif.ts';
import { figuresText, findingsText, type Terminal } from './text.ts';

/** Where the command writes; a test gives its own. */
export interface Streams {
  readonly out: (text: string) => void;
  readonly err: (text: string) => void;
  readonly terminal: Terminal;
  readonly folder: string;
  readonly version: string;
}

/** Runs the command; the answer is the exit code. */
export async function runCommand(args: readonly string[], streams: Streams): Promise<number> {
  const parsed = readArguments(args);
  if (parsed.kind === 'help') return print(streams, USAGE);
  if (parsed.kind === 'version') return print(streams, `${streams.version}\n`);
  if (parsed.kind === 'call') return runVerb(parsed.call, streams);
  streams.err(`tagstrip: ${parsed.message}\n\n${USAGE}`);
  return 2;
}

function print(streams: Streams, text: string): number {
  streams.out(text);
  return 0;
}

async function runVerb(call: Call, streams: Streams): Promise<number> {
  const shop = createShop({ files: diskFiles });
  const found = await findSheets(call.paths, streams);
  if (!found.ok) {
    streams.err(`tagstrip: ${found.reason}\n`);
    return 2;
  }
  const analyses: Analysis[] = [];
  for (const uri of found.uris) {
    const analysis = await shop.analyse(uri);
    if (analysis === undefined) {
      streams.err(`tagstrip: cannot read ${fileURLToPath(uri)}\n`);
      return 2;
    }
    analyses.push(analysis);
  }
  const places = placesOf(analyses, streams.folder);
  const { out } = call;
  /** Ends the verb: prints, or writes to the file that was asked for; what cannot be written makes the call unusable. */
  const finish = async (text: string, code = 0): Promise<number> => {
    if (out === undefined) {
      streams.out(text);
      return code;
    }
    try {
      await writeFile(resolve(streams.folder, out), text);
      return code;
    } catch (error) {
      streams.err(
        `tagstrip: cannot write ${out}: ${error instanceof Error ? error.message : String(error)}\n`,
      );
      return 2;
    }
  };
  switch (call.verb) {
    case 'read': {
      const sheets = analyses.map(({ sheet }) => sheet);
      return finish(
        call.format === 'json'
          ? json({ sheets: sheets.map((sheet) => sheetJson(sheet, places.path(sheet.uri))) })
          : sheets.map((sheet) => sheetText(sheet, places.path(sheet.uri))).join('\n'),
      );
    }
    case 'check': {
      const findings = analyses.flatMap((analysis) => analysis.findings);
      const threshold = call.failOn === 'never' ? -1 : SEVERITIES.indexOf(call.failOn);
      const failing = findings.some(
        (each) => each.accepted === undefined && SEVERITIES.indexOf(each.severity) <= threshold,
      );
      return finish(findingsIn(call.format, analyses, places, streams), failing ? 1 : 0);
    }
    case 'figures': {
      const figures = figuresOf(analyses);
      return finish(
        call.format === 'json'
          ? json({ figures: figures.map((figure) => figureJson(figure, places)) })
          : figuresText(figures, places, streams.terminal),
      );
    }
    case 'summary': {
      const [only, ...others] = analyses;
      if (only === undefined || others.length > 0) {
        streams.err(`tagstrip: summary takes one sheet, found ${analyses.length}\n`);
        return 2;
      }
      return finish(renderHtml(only, { reader: call.reader }));
    }
  }
}

function findingsIn(
  format: Call['format'],
  analyses: readonly Analysis[],
  places: Places,
  { terminal, version }: Streams,
): string {
  const findings = analyses.flatMap((analysis) => analysis.findings);
  switch (format) {
    case 'json':
      return json({ findings: findings.map((finding) => findingJson(finding, places)) });
    case 'sarif':
      return `${JSON.stringify(sarifLog(analyses, places, version), null, 2)}\n`;
    case 'md':
      return findingsMarkdown(findings, analyses.length, places);
    default:
      return findingsText(findings, analyses.length, places, terminal);
  }
}

/**
 * Every figure once: the chassis sheet's own come with each job on it, and with the chassis sheet itself. What a phase is
 * expected to show follows what was read in it.
 */
function figuresOf(analyses: readonly Analysis[]): readonly Figure[] {
  const figures = new Map<string, Figure>();
  for (const { amplifier } of analyses) {
    const all = amplifier.phases.flatMap((view) => [...view.figures, ...expectedFigures(view, amplifier)]);
    for (const figure of all) {
      const { file, subject, figure: name, phase, set } = figure;
      const key = [file, subject, name, phase, set].join('\n');
      if (!figures.has(key)) figures.set(key, figure);
    }
  }
  return [...figures.values()];
}

function json(content: Record<string, unknown>): string {
  return `${JSON.stringify({ tagstrip: VERSION, ...content }, null, 2)}\n`;
}

type Found =
  | { readonly ok: true; readonly uris: readonly string[] }
  | { readonly ok: false; readonly reason: string };

async function findSheets(paths: readonly string[], streams: Streams): Promise<Found> {
  const uris = new Set<string>();
  for (const path of paths) {
    const full = resolve(streams.folder, path);
    const at = await stat(full).catch(() => undefined);
    if (at === undefined) return { ok: false, reason: `there is no ${path}` };
    for (const uri of await diskFiles.listSheets(pathToFileURL(full).href)) uris.add(uri);
  }
  if (uris.size === 0) return { ok: false, reason: `no sheets (*.tagstrip.md) in ${paths.join(', ')}` };
  return { ok: true, uris: [...uris] };
}

function placesOf(analyses: readonly Analysis[], folder: string): Places {
  const snapshots = new Map<string, Snapshot>();
  for (const { sheet, chassis, amplifier } of analyses) {
    snapshots.set(sheet.uri, sheet.snapshot);
    if (chassis !== undefined) snapshots.set(chassis.uri, chassis.snapshot);
    const { shopSheet } = amplifier;
    if (shopSheet !== undefined) snapshots.set(shopSheet.uri, shopSheet.snapshot);
  }
  return {
    path: (uri) => {
      const path = fileURLToPath(uri);
      return (relative(folder, path) || path).replaceAll('\\', '/');
    },
    snapshot: (uri) => snapshots.get(uri),
    chassisNamed: (uri) => {
      const field = analyses.find(({ sheet }) => sheet.uri === uri)?.sheet.field('chassis');
      return field === undefined ? undefined : { file: uri, span: field.span };
    },
  };
}
