/** Owns when two URIs name one sheet (a drive's letter, a colon and other signs may be written in several ways), and what people call its file. */

/** Nothing that anybody encodes, and nothing that could be a capital of a scheme or of a host. Nearly all URIs are so. */
const HAS_ONE_SPELLING = /^[a-z][a-z0-9+.-]*:(?:\/\/[a-z0-9.-]*(?=\/)|(?!\/\/))[\w./~-]*$/;

/** A URI in one spelling, the one that editors write: to be compared and looked up by, not to be sent to anybody. */
export function canonicalUri(uri: string): string {
  if (HAS_ONE_SPELLING.test(uri)) return uri;
  const parts = /^([a-z][a-z0-9+.-]*:)(\/\/[^/?#]*)?([^?#]*)(.*)$/is.exec(uri);
  if (parts === null) return uri;
  const [, scheme = '', authority = '', path = '', rest = ''] = parts;
  const spelt = path.split('/').map(respell).join('/');
  const drive = spelt.replace(/^\/[A-Z]%3A/, (letter) => letter.toLowerCase().replace('%3a', '%3A'));
  return `${scheme.toLowerCase()}${authority.toLowerCase()}${drive}${rest}`;
}

function respell(segment: string): string {
  try {
    return encodeSegment(decodeURIComponent(segment));
  } catch {
    // A percent sign that begins nothing is one more sign of the name.
    return segment;
  }
}

/** As editors write their URIs, so that a sheet open there is the same as the one named here: brackets and quotes encoded too. */
export function encodeSegment(segment: string): string {
  return encodeURIComponent(segment).replace(
    /[!'()*]/g,
    (sign) => `%${sign.charCodeAt(0).toString(16).toUpperCase()}`,
  );
}

/** The last part of a URI or path, as people call the file. */
export function fileName(uri: string): string {
  const name = uri.slice(uri.lastIndexOf('/') + 1);
  try {
    return decodeURIComponent(name);
  } catch {
    // A percent sign that begins nothing is one more sign of the name.
    return name;
  }
}

/** The same without its ending: what people call the sheet. */
export function sheetName(uri: string): string {
  return fileName(uri).replace(/(?:\.tagstrip)?\.md$/i, '');
}
