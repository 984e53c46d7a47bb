/**
 * The findings as SARIF 2.1.0. The checks of structure follow the standard (OASIS, 27 March 2020, with errata of 28 August
 * 2023): what must be there, of what kind, and that every index, id and region points at something.
 */
import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { describe, expect, it } from 'vitest';
import { sarifLog, sarifResults } from '../../server/cli/sarif.ts';
import { rules } from '../../server/rules/registry.ts';
import { memoryFiles } from '../../server/shop/files.ts';
import { createShop } from '../../server/shop/shop.ts';
import { root, tagstrip } from '../support/command.ts';

type Json = Readonly<Record<string, unknown>>;
interface Region {
  readonly startLine: number;
  readonly startColumn: number;
  readonly endLine: number;
  readonly endColumn: number;
}
interface Place {
  readonly id?: number;
  readonly message?: { readonly text: string };
  readonly physicalLocation: { readonly artifactLocation: { readonly uri: string }; readonly region: Region };
}
interface Result {
  readonly ruleId: string;
  readonly ruleIndex: number;
  readonly level: string;
  readonly message: { readonly text: string };
  readonly locations: readonly Place[];
  readonly relatedLocations?: readonly Place[];
  readonly partialFingerprints: Json;
  readonly suppressions: readonly Json[];
  readonly fixes?: readonly {
    readonly description: { readonly text: string };
    readonly artifactChanges: readonly {
      readonly artifactLocation: { readonly uri: string };
      readonly replacements: readonly {
        readonly deletedRegion: Region;
        readonly insertedContent?: { readonly text: string };
      }[];
    }[];
  }[];
  readonly properties: Json;
}
interface Log {
  readonly version: string;
  readonly $schema: string;
  readonly runs: readonly {
    readonly tool: {
      readonly driver: { readonly name: string; readonly rules: readonly (Json & { id: string })[] };
    };
    readonly columnKind: string;
    readonly results: readonly Result[];
  }[];
}

const HOME = 'file:///shop/';

/** The log of sheets held in memory. */
async function logOf(sheets: Readonly<Record<string, string>>): Promise<Log> {
  const texts = Object.fromEntries(
    Object.entries(sheets).map(([path, text]) => [new URL(path, HOME).href, text]),
  );
  const shop = createShop({ files: memoryFiles(texts) });
  const analyses = [];
  for (const uri of Object.keys(texts)) {
    const analysis = await shop.analyse(uri);
    if (analysis !== undefined) analyses.push(analysis);
  }
  const snapshots = new Map(analyses.map(({ sheet }) => [sheet.uri, sheet.snapshot]));
  const places = {
    path: (uri: string) => decodeURIComponent(uri.slice(HOME.length)),
    snapshot: (uri: string) => snapshots.get(uri),
    chassisNamed: () => undefined,
  };
  const results = analyses.flatMap((analysis) => sarifResults(analysis, places));
  return JSON.parse(JSON.stringify(sarifLog(results, '0.1.0'))) as Log;
}

/** The text that a region marks; lines and columns from 1, the end column behind, a byte-order mark not counted. */
function textIn(text: string, { startLine, startColumn, endLine, endColumn }: Region): string {
  const lines = text.replace(/^\uFEFF/, '').split(/(?<=\r\n|\r(?!\n)|(?<!\r)\n)/);
  const offset = (line: number, column: number): number =>
    lines.slice(0, line - 1).reduce((sum, each) => sum + each.length, 0) + column - 1;
  return lines.join('').slice(offset(startLine, startColumn), offset(endLine, endColumn));
}

const ACCEPTED =
  '# Job\n\n## As found\n\n- R17 = 470R 5W, V5.k to gnd\n- R17 = 330R 5W\n\n{accept two-values R17: both were on the drawing}\n';

describe('a SARIF log', () => {
  it('has the one version, one run, and says in what it counts columns', async () => {
    const log = await logOf({ 'a.tagstrip.md': ACCEPTED });
    expect(log.version).toBe('2.1.0');
    expect(log.$schema).toMatch(/^https:.*sarif-schema-2\.1\.0\.json$/);
    expect(log.runs).toHaveLength(1);
    expect(log.runs[0]?.columnKind).toBe('utf16CodeUnits');
    expect(log.runs[0]?.tool.driver).toMatchObject({ name: 'Tagstrip', semanticVersion: '0.1.0' });
  });

  it('lists every rule once, with a description, help and the worst level that it reaches', async () => {
    const log = await logOf({ 'a.tagstrip.md': '# Fine\n' });
    const listed = log.runs[0]?.tool.driver.rules ?? [];
    expect(listed.map(({ id }) => id)).toEqual(rules.map(({ id }) => id));
    for (const rule of listed) {
      for (const key of ['shortDescription', 'fullDescription', 'help'] as const)
        expect((rule[key] as { text: string }).text).toMatch(/\S.*[.]$/s);
      expect(['error', 'warning', 'note']).toContain((rule.defaultConfiguration as { level: string }).level);
    }
    const level = (id: string) => listed.find((rule) => rule.id === id)?.defaultConfiguration;
    expect(level('over-voltage')).toEqual({ level: 'error' });
    expect(level('two-values')).toEqual({ level: 'warning' });
    expect(level('value-uncommon')).toEqual({ level: 'note' });
    expect(log.runs[0]?.results).toEqual([]);
  });

  it('holds together over the bad example of every rule: indices, ids, levels, regions, fixes', async () => {
    const sheets: Record<string, string> = Object.assign(
      Object.fromEntries(rules.map(({ id, bad }) => [`${id}.tagstrip.md`, bad.sheet])),
      ...rules.map(({ bad }) => bad.beside ?? {}),
    );
    const [run] = (await logOf(sheets)).runs;
    const results = run?.results ?? [];
    expect(new Set(results.map(({ ruleId }) => ruleId)).size).toBe(rules.length);
    for (const result of results) {
      expect(run?.tool.driver.rules[result.ruleIndex]?.id).toBe(result.ruleId);
      expect(['error', 'warning', 'note']).toContain(result.level);
      expect(result.message.text).not.toBe('');
      // Outside placeholders, which are not used, braces stand doubled.
      expect(result.message.text.replace(/\{\{|\}\}/g, '')).not.toMatch(/[{}]/);
      expect(result.locations).toHaveLength(1);
      expect(result.partialFingerprints).toEqual({ 'tagstrip/v1': expect.stringMatching(/^[0-9a-f]{8}$/) });
      expect((result.relatedLocations ?? []).map(({ id }) => id)).toEqual(
        (result.relatedLocations ?? []).map((_, i) => i),
      );
      const regions = [
        ...[...result.locations, ...(result.relatedLocations ?? [])].map(
          ({ physicalLocation }) => physicalLocation,
        ),
        ...(result.fixes ?? []).flatMap(({ artifactChanges }) =>
          artifactChanges.flatMap(({ artifactLocation, replacements }) =>
            replacements.map(({ deletedRegion: region }) => ({ artifactLocation, region })),
          ),
        ),
      ];
      for (const { artifactLocation, region } of regions) {
        const lines = sheets[artifactLocation.uri]?.split('\n') ?? [];
        expect(region.startLine).toBeGreaterThanOrEqual(1);
        expect(region.startColumn).toBeGreaterThanOrEqual(1);
        expect(region.endLine).toBeLessThanOrEqual(lines.length);
        expect(region.endColumn).toBeLessThanOrEqual((lines[region.endLine - 1]?.length ?? 0) + 1);
        expect(region.endLine).toBeGreaterThanOrEqual(region.startLine);
        if (region.endLine === region.startLine)
          expect(region.endColumn).toBeGreaterThanOrEqual(region.startColumn);
      }
      for (const { description, artifactChanges } of result.fixes ?? []) {
        expect(description.text).toMatch(/^[A-Z]/);
        expect(artifactChanges.flatMap(({ replacements }) => replacements).length).toBeGreaterThan(0);
      }
    }
  });

  it.each([
    ['LF', (text: string) => text],
    ['CRLF', (text: string) => text.replaceAll('\n', '\r\n')],
    ['a byte-order mark', (text: string) => `\uFEFF${text}`],
  ])('marks the text with %s', async (_, write) => {
    const text = write('{R17 = 470R} \u{1F525} {R17 = 330R}\n');
    const [result] = (await logOf({ 'a.tagstrip.md': text })).runs[0]?.results ?? [];
    expect(result?.ruleId).toBe('two-values');
    expect(result?.locations.map(({ physicalLocation }) => textIn(text, physicalLocation.region))).toEqual([
      '{R17 = 330R}',
    ]);
    expect(result?.locations[0]?.physicalLocation.region).toEqual({
      startLine: 1,
      startColumn: 17,
      endLine: 1,
      endColumn: 29,
    });
    expect(
      result?.relatedLocations?.map(({ physicalLocation }) => textIn(text, physicalLocation.region)),
    ).toEqual(['{R17 = 470R}']);
  });

  it('keeps an accepted finding, suppressed in the source with its reason', async () => {
    const [result, ...others] = (await logOf({ 'a.tagstrip.md': ACCEPTED })).runs[0]?.results ?? [];
    expect(others).toEqual([]);
    expect(result?.level).toBe('warning');
    expect(result?.suppressions).toEqual([
      { kind: 'inSource', status: 'accepted', justification: 'both were on the drawing' },
    ]);
    const open =
      (await logOf({ 'a.tagstrip.md': ACCEPTED.replace(/\{accept.*\n/, '') })).runs[0]?.results ?? [];
    expect(open.map(({ suppressions }) => suppressions)).toEqual([[]]);
  });

  it('gives the figures and the limit that the verdict rests on', async () => {
    const text = '# Job\n\n## Work\n\n- plug out, discharged: B+1: 71 V\n';
    const [result] = (await logOf({ 'a.tagstrip.md': text })).runs[0]?.results ?? [];
    expect(result?.properties).toMatchObject({
      subject: 'B+1',
      severity: 'error',
      phase: 'work',
      figures: { voltage: { value: 71, unit: 'V' } },
      limit: { value: 60, unit: 'V', source: expect.stringContaining('IEC 62368-1') },
    });
  });

  it('gives a fix as replacements, and a removal without text to insert', async () => {
    const text = '# Job\n\n{accept over-voltage C1: as drawn}\n';
    const [result] = (await logOf({ 'a.tagstrip.md': text })).runs[0]?.results ?? [];
    const [change] = result?.fixes?.[0]?.artifactChanges ?? [];
    expect(change?.artifactLocation.uri).toBe('a.tagstrip.md');
    expect(change?.replacements).toHaveLength(1);
    expect(change?.replacements[0]).not.toHaveProperty('insertedContent');
  });

  it('escapes what a URI reference cannot hold', async () => {
    const text = '# Job\n\n{accept over-voltage C1: as drawn}\n';
    const [result] = (await logOf({ 'jobs/Größe 7#2.tagstrip.md': text })).runs[0]?.results ?? [];
    expect(result?.locations[0]?.physicalLocation.artifactLocation.uri).toBe(
      'jobs/Gr%C3%B6%C3%9Fe%207%232.tagstrip.md',
    );
  });
});

describe('check --format sarif', () => {
  it('writes the log of the samples, with the exit code of the other formats, and the same text each time', async () => {
    const run = () => tagstrip(['check', 'samples', '--format', 'sarif']);
    const { code, out } = await run();
    expect(code).toBe(1);
    const log = JSON.parse(out) as Log;
    for (const { locations } of log.runs[0]?.results ?? []) {
      for (const { physicalLocation } of locations) {
        const { uri } = physicalLocation.artifactLocation;
        const text = readFileSync(join(root, decodeURIComponent(uri)), 'utf8');
        expect(new URL(uri, pathToFileURL(`${root}/`)).href).toContain('/samples/');
        expect(textIn(text, physicalLocation.region)).not.toBe('');
      }
    }
    const hash = (text: string) => createHash('sha256').update(text).digest('hex');
    expect(hash((await run()).out)).toBe(hash(out));
  });
});
