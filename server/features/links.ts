/** Owns the links of a sheet to files beside it: the sheets that its front matter names, and its photos. */
import type { FrontMatterEntry } from '../dialect/tree.ts';
import { resolvePath } from '../shop/paths.ts';
import type { Analysis } from '../shop/shop.ts';
import type { Span } from '../text/span.ts';

export interface Link {
  readonly span: Span;
  /** A file of the sheet's own scheme and host; whether it is there is for the caller to ask. */
  readonly uri: string;
  readonly tooltip: string;
  readonly kind: 'sheet' | 'photo';
}

const TOOLTIPS: Readonly<Record<string, string>> = {
  chassis: 'Open the chassis sheet',
  follows: 'Open the revision before this one',
  returns: 'Open the earlier job',
  'written-for': 'Open the chassis sheet that this mod was written for',
};

export function links({ sheet }: Analysis): readonly Link[] {
  const named = (sheet.frontMatter?.entries ?? []).flatMap((entry): readonly Link[] => {
    const tooltip = Object.hasOwn(TOOLTIPS, entry.key) ? TOOLTIPS[entry.key] : undefined;
    return tooltip === undefined
      ? []
      : [entry, ...(entry.items ?? [])].flatMap((each) => linkOf(sheet.uri, each, tooltip));
  });
  const photos = sheet.photos.flatMap(({ url, span, refs }): readonly Link[] => {
    const uri = resolvePath(sheet.uri, decoded(url));
    const tooltip = refs.length === 0 ? 'Open the photo' : `Open the photo of ${refs.join(', ')}`;
    return uri === undefined ? [] : [{ span, uri, tooltip, kind: 'photo' }];
  });
  return [...named, ...photos];
}

function linkOf(from: string, { scalar, valueSpan }: FrontMatterEntry, tooltip: string): readonly Link[] {
  const uri = scalar === undefined ? undefined : resolvePath(from, scalar);
  return uri === undefined || uri === from ? [] : [{ span: valueSpan, uri, tooltip, kind: 'sheet' }];
}

/** In Markdown a link's target is written as an address (`hot%20valve.jpg`), in front matter a path is a path. */
function decoded(url: string): string {
  try {
    return decodeURIComponent(url);
  } catch {
    return url;
  }
}
