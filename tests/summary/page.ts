/** Owns how tests read a rendered page: its tags one by one, strictly, and its text as a reader sees it. */

export interface PageTag {
  readonly name: string;
  readonly closes: boolean;
  /** `<path …/>` of a picture. */
  readonly isWhole: boolean;
  readonly attributes: Readonly<Record<string, string>>;
}

const VOID = new Set(['meta', 'rect', 'line']);
const TAG = /^<(\/)?([a-z][a-z0-9]*)((?:\s+[a-zA-Z][a-zA-Z0-9:-]*="[^"<>]*")*)\s*(\/)?>/;

/** All tags in order. Throws where a `<` is not the start of a tag that this project writes. */
export function tagsOf(page: string): readonly PageTag[] {
  const body = page.replace(/^<!DOCTYPE html>/, '').replace(/<style>[\s\S]*?<\/style>/, '<style></style>');
  const tags: PageTag[] = [];
  for (let at = body.indexOf('<'); at >= 0; at = body.indexOf('<', at + 1)) {
    const match = TAG.exec(body.slice(at, at + 2000));
    if (match === null) throw new Error(`no tag of ours: ${body.slice(at, at + 80)}`);
    const attributes = Object.fromEntries(
      [...(match[3] ?? '').matchAll(/([a-zA-Z][a-zA-Z0-9:-]*)="([^"]*)"/g)].map((each) => [
        each[1] ?? '',
        each[2] ?? '',
      ]),
    );
    tags.push({ name: match[2] ?? '', closes: match[1] === '/', isWhole: match[4] === '/', attributes });
  }
  return tags;
}

/** Where the first tag closes wrongly; undefined for a page whose tags all pair. */
export function findUnpaired(page: string): string | undefined {
  const open: string[] = [];
  for (const { name, closes, isWhole } of tagsOf(page)) {
    if (isWhole || VOID.has(name)) continue;
    if (!closes) open.push(name);
    else if (open.pop() !== name) return `</${name}> after <${open.join('><')}>`;
  }
  return open.length === 0 ? undefined : `<${open.join('><')}> stays open`;
}

/** What a reader sees, in order, with single spaces; blocks are parted by ` / `. What stands in a picture is the picture's affair. */
export function textOf(page: string): string {
  return page
    .replace(/<style>[\s\S]*?<\/style>|<title>[\s\S]*?<\/title>|<svg[\s\S]*?<\/svg>/g, '')
    .replace(/<\/(?:p|li|h1|h2|h3|tr|dt|dd|caption|figcaption|th|td|pre)>/g, ' / ')
    .replace(/<[^>]*>/g, '')
    .replace(/&lt;/g, '<')
    .replace(/&gt;/g, '>')
    .replace(/&quot;/g, '"')
    .replace(/&#39;/g, "'")
    .replace(/&amp;/g, '&')
    .replace(/\u00a0/g, ' ')
    .replace(/\s+/g, ' ')
    .replace(/(?: \/)+(?= \/)/g, '');
}

/** The text under one second-level heading. */
export function sectionOf(page: string, heading: string): string {
  const start = page.indexOf(`<h2>${heading}</h2>`);
  if (start < 0) return '';
  const end = page.indexOf('</section>', start);
  return textOf(page.slice(start, end)).replace(`${heading} / `, '').trim();
}
