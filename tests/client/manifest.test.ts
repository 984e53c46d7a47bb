/** Holds the extension's manifest to the code and the files behind it: a command nobody registered fails only when it is clicked. */
import { readdirSync, readFileSync, statSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { SAMPLE_FILES } from '../../client/sample-files.ts';
import { defaultSettings, readSettings } from '../../server/lsp/settings.ts';
import { memoryFiles } from '../../server/shop/files.ts';
import { createShop } from '../../server/shop/shop.ts';

interface Property {
  readonly type: string;
  readonly default: unknown;
  readonly description: string;
  readonly enum?: readonly string[];
  readonly enumDescriptions?: readonly string[];
}

interface Step {
  readonly id: string;
  readonly title: string;
  readonly description: string;
  readonly media: { readonly markdown?: string; readonly svg?: string; readonly altText?: string };
  readonly completionEvents?: readonly string[];
}

interface Manifest {
  readonly files: readonly string[];
  readonly activationEvents: readonly string[];
  readonly capabilities: Readonly<Record<string, unknown>>;
  readonly contributes: {
    readonly configuration: { readonly properties: Readonly<Record<string, Property>> };
    readonly commands: readonly {
      readonly command: string;
      readonly title: string;
      readonly icon?: { readonly light: string; readonly dark: string };
    }[];
    readonly menus: Readonly<Record<string, readonly { readonly command: string; readonly when?: string }[]>>;
    readonly keybindings: readonly { readonly command: string }[];
    readonly walkthroughs: readonly { readonly steps: readonly Step[] }[];
    readonly 'markdown.previewStyles': readonly string[];
    readonly 'markdown.markdownItPlugins': boolean;
  };
}

const at = (path: string) => new URL(`../../${path}`, import.meta.url);
const read = (path: string) => readFileSync(at(path), 'utf8');
const manifest = JSON.parse(read('package.json')) as Manifest;
const { contributes } = manifest;
const client = readdirSync(at('client'))
  .filter((name) => name.endsWith('.ts'))
  .map((name) => read(`client/${name}`))
  .join('\n');
const commands = contributes.commands.map(({ command }) => command);
const steps = contributes.walkthroughs.flatMap(({ steps: each }) => each);

/** Whether a file goes into the package. */
const isPacked = (path: string) =>
  manifest.files.some((pattern) => {
    const like = pattern
      .replace(/[.+]/g, '\\$&')
      .replace(/\*\*|\*/g, (stars) => (stars === '**' ? '.*' : '[^/]*'));
    return new RegExp(`^${like}$`).test(path);
  });

const expectPacked = (path: string) => {
  const plain = path.replace(/^\.\//, '');
  expect(statSync(at(plain)).isFile(), plain).toBe(true);
  expect(isPacked(plain), plain).toBe(true);
};

describe('commands', () => {
  it('are registered, all that are offered, and offered, all that are registered', () => {
    const registered = [...client.matchAll(/registerCommand\(\s*'([^']+)'/g)].map(([, name]) => name);
    expect(registered.sort()).toEqual([...commands].sort());
  });

  it('stand in menus and on keys by names that there are', () => {
    const named = [...Object.values(contributes.menus).flat(), ...contributes.keybindings];
    for (const { command } of named) expect(commands).toContain(command);
  });

  it('can all be had from the keyboard: none is hidden from the palette', () => {
    for (const { when } of contributes.menus.commandPalette ?? []) expect(when).not.toBe('false');
  });

  it('stand in the title bar of a sheet and of no other file', () => {
    for (const { when } of contributes.menus['editor/title'] ?? [])
      expect(when).toBe('resourceFilename =~ /\\.tagstrip\\.md$/ && !activeCustomEditorId');
  });

  it('have pictures in the package', () => {
    for (const { icon } of contributes.commands) {
      if (icon === undefined) continue;
      expectPacked(icon.light);
      expectPacked(icon.dark);
    }
  });
});

describe('settings', () => {
  const properties = Object.entries(contributes.configuration.properties);

  it.each(properties)('%s is typed and described', (_, property) => {
    expect(property.description).toMatch(/\.$/);
    expect(typeof property.default).toBe(property.type);
    if (property.enum === undefined) return;
    expect(property.enum).toContain(property.default);
    expect(property.enumDescriptions).toHaveLength(property.enum.length);
  });

  it('have the defaults of the server', () => {
    const given = Object.fromEntries(
      properties.map(([name, { default: value }]) => [name.replace(/^tagstrip\./, ''), value]),
    );
    expect(readSettings(given)).toEqual(defaultSettings);
  });
});

describe('the walkthrough', () => {
  it.each(steps)('$title: has its picture or page in the package', ({ media }) => {
    const file = media.markdown ?? media.svg;
    expectPacked(file ?? 'none');
    if (media.svg !== undefined) expect(media.altText).toMatch(/\S/);
  });

  it.each(steps)('$title: names commands that there are', ({ description, completionEvents = [] }) => {
    const named = [...description.matchAll(/command:([\w.]+)/g)].map(([, name]) => name);
    for (const name of [...named, ...completionEvents.map((event) => event.replace('onCommand:', ''))])
      expect(commands).toContain(name);
  });

  it('begins with the danger and ends with a sample', () => {
    expect(steps[0]?.description).toContain('kills');
    expect(steps.at(-1)?.description).toContain('command:tagstrip.openSample');
  });

  it('has in its sample all that the sample builds upon', async () => {
    for (const file of SAMPLE_FILES) expectPacked(`samples/${file}`);
    const texts = Object.fromEntries(
      SAMPLE_FILES.map((file) => [`file:///s/${file}`, read(`samples/${file}`)]),
    );
    const analysis = await createShop({ files: memoryFiles(texts) }).analyse(`file:///s/${SAMPLE_FILES[0]}`);
    expect(analysis?.chassis).toBeDefined();
    const said = analysis?.findings.map(({ rule }) => rule);
    expect(said).toContain('leaky-coupling');
    expect(said).not.toContain('sheet-missing');
  });
});

describe('the rest', () => {
  it('styles the preview from the package', () => {
    expect(contributes['markdown.markdownItPlugins']).toBe(true);
    contributes['markdown.previewStyles'].forEach(expectPacked);
  });

  it('wakes for Markdown and for a panel that was left open, and for no other file', () => {
    expect(manifest.activationEvents).toEqual(['onLanguage:markdown', 'onWebviewPanel:tagstrip.summary']);
  });

  it('runs no code of a workspace, and needs no disk: nothing of a workspace is called or loaded', () => {
    expect(manifest.capabilities).toEqual({
      untrustedWorkspaces: { supported: true },
      virtualWorkspaces: true,
    });
    expect(
      client.match(/child_process|\beval\b|new Function|createTerminal|executeTask|from 'node:/g),
    ).toBeNull();
  });

  it('asks nothing of the network and counts nobody', () => {
    expect(
      client.match(/\bfetch\(|XMLHttpRequest|WebSocket|sendBeacon|TelemetryLogger|https?:\/\//g),
    ).toBeNull();
  });
});
