/**
 * Owns the one Markdown parser of the dialect: CommonMark, GitHub's tables, task lists, footnotes and strikethrough,
 * YAML front matter, tags and mathematics. Frozen once; every sheet is read by it.
 */
import type { Nodes, Root } from 'mdast';
import type { Extension as FromMarkdownExtension } from 'mdast-util-from-markdown';
import remarkFrontmatter from 'remark-frontmatter';
import remarkGfm from 'remark-gfm';
import remarkParse from 'remark-parse';
import { type Processor, unified } from 'unified';
import { tagFromMarkdown } from './mdast-tag.ts';
import { mathSyntax } from './micromark-math.ts';
import { tagSyntax } from './micromark-tag.ts';
import { parsePlain } from './plain-markdown.ts';
import { opensTag } from './tag.ts';

const processor = createProcessor().freeze();

/** The same parser for text without an `@`: looking for a mail address at every word is a tenth of the work. */
const processorWithoutMail = createProcessor().use(withoutMailAddresses).freeze();

/**
 * The tree of a text from an offset on. Its offsets are those of the whole text: a byte-order mark, which micromark drops before
 * it counts, is the caller's to take off and to add.
 */
export function parseMarkdown(text: string, from: number): Root {
  const plain = parsePlain(text, from, opensAsTag);
  if (plain !== undefined) return plain;
  const root = parseWithParser(text.slice(from));
  moveNode(root, from);
  return root;
}

function moveNode(node: Nodes, by: number): void {
  if (node.position !== undefined) {
    const { start, end } = node.position;
    node.position = {
      start: { ...start, offset: (start.offset ?? 0) + by },
      end: { ...end, offset: (end.offset ?? 0) + by },
    };
  }
  if ('children' in node) for (const child of node.children) moveNode(child, by);
}

/** The same by the parser alone, whatever the text is. */
export function parseWithParser(text: string): Root {
  return (text.includes('@') ? processor : processorWithoutMail).parse(text);
}

function createProcessor() {
  return unified().use(remarkParse).use(remarkGfm).use(remarkFrontmatter, ['yaml']).use(withTags);
}

function withTags(this: Processor): void {
  const data = this.data();
  const syntax = data.micromarkExtensions ?? [];
  const tree = (data.fromMarkdownExtensions ?? []) as (FromMarkdownExtension | FromMarkdownExtension[])[];
  syntax.push(tagSyntax(opensAsTag), mathSyntax());
  data.micromarkExtensions = syntax;
  data.fromMarkdownExtensions = [...tree.flat().map(withoutTransforms), tagFromMarkdown()];
}

function opensAsTag(source: string): boolean {
  return opensTag(source, 1, source.length - 1);
}

function withoutMailAddresses(this: Processor): void {
  const data = this.data();
  data.micromarkExtensions = data.micromarkExtensions?.map((extension) => ({
    ...extension,
    text: mapValues(extension.text ?? {}, (constructs) =>
      [constructs ?? []].flat().filter(({ name }) => name !== 'emailAutolink'),
    ),
  }));
}

function mapValues<T, U>(of: { readonly [key: string]: T }, to: (value: T) => U): { [key: string]: U } {
  return Object.fromEntries(Object.entries(of).map(([key, value]) => [key, to(value)]));
}

/**
 * Without the pass that turns anything with an `@` in it into a mail link: it costs a walk of every text, leaves nodes
 * without a place, and `47uF@400V` is no address.
 */
function withoutTransforms(extension: FromMarkdownExtension): FromMarkdownExtension {
  const { transforms: _, ...rest } = extension;
  return rest;
}
