/** Owns how tests read Markdown as a git host does, and what of it a note must never bring about. */
import remarkGfm from 'remark-gfm';
import remarkParse from 'remark-parse';
import { unified } from 'unified';

export interface HostNode {
  readonly type: string;
  readonly value?: string;
  readonly url?: string;
  readonly children?: readonly HostNode[];
}

const host = unified().use(remarkParse).use(remarkGfm).freeze();

/** All nodes in order. */
export function nodesOf(markdown: string): readonly HostNode[] {
  const all = (node: HostNode): readonly HostNode[] => [node, ...(node.children ?? []).flatMap(all)];
  return all(host.parse(markdown));
}

const OURS = new Set(
  'root heading paragraph text strong emphasis list listItem table tableRow tableCell blockquote code link'.split(
    ' ',
  ),
);

/** To a picture by a plain path, as `photos.ts` lets it through. */
const OWN_LINK = /^(?:\.\.\/){0,2}(?:[\w%.-]+\/)*[\w%.-]+\.(?:jpe?g|png|webp|gif|heic|avif)$/i;

/** What hosts make of bare words after Markdown is read: mentions, issues, addresses, small pictures. */
const BARE =
  /(?:^|[^\w])@[\w-]|[#!&%~](?=\d)|\bgh-\d|\w:\/\/|\bwww\.|\b(?:mailto|xmpp):|[\w.+-]@[\w-]|:[\w+-]+:|[\u202a-\u202e\u2066-\u2069]/i;

/** The first thing in Markdown that is not words of ours; undefined where all is well. */
export function findForeignMarkdown(markdown: string): string | undefined {
  for (const node of nodesOf(markdown)) {
    if (!OURS.has(node.type)) return `${node.type} ${node.value ?? node.url ?? ''}`;
    if (node.type === 'link' && !OWN_LINK.test(node.url ?? '')) return `link to ${node.url}`;
    const bare = node.type === 'text' ? BARE.exec(node.value ?? '') : null;
    if (bare !== null)
      return `${bare[0]} in ${node.value?.slice(Math.max(0, bare.index - 20), bare.index + 30)}`;
  }
  return undefined;
}
