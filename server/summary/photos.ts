/**
 * Owns which photograph of a note a summary may link to: a picture by a plain path among the shop's own folders. Anything else
 * is told by its words alone, whatever its address is.
 */

/** Names without signs that an address, a shell or Markdown gives a meaning. */
const NAME = /^[\p{L}\d_][\p{L}\d._-]*$/u;
const PICTURE = /\.(?:jpe?g|png|webp|gif|heic|avif)$/i;
/** From a job's folder up to the shop's, and no further than a folder of jobs within it. */
const MOST_UP = 2;

/** The path as it may stand in a link; undefined where it is none that is let through. */
export function findPhotoPath(url: string): string | undefined {
  const names = url.replace(/^\.\//, '').split('/');
  const up = names.findIndex((name) => name !== '..');
  const inside = names.slice(up);
  if (up < 0 || up > MOST_UP || !PICTURE.test(url)) return undefined;
  if (!inside.every((name) => NAME.test(name) && !name.includes('..'))) return undefined;
  return [...names.slice(0, up), ...inside.map(encodeURIComponent)].join('/');
}

/** A photo's file name; an address that is none is not repeated. */
export function findFileName(url: string): string | undefined {
  if (/^[a-z][a-z0-9+.-]*:/i.test(url)) return undefined;
  return url.slice(url.lastIndexOf('/') + 1);
}
