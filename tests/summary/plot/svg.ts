/** Owns how tests read a picture: strictly as XML, with every coordinate in it and the room that its words take. */
import { type Box, boxOf, type Label } from '../../../server/summary/plot/label.ts';

export interface Element {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  /** Of its text alone, with references replaced. */
  readonly text: string;
}

const OPEN = /^<([a-z]+)((?: [a-zA-Z][a-zA-Z0-9:-]*="[^"<>&]*(?:&(?:amp|lt|gt|quot|#39);[^"<>&]*)*")*)(\/)?>/;
const TEXT = /^(?:[^<&]|&(?:amp|lt|gt|quot|#39);)+/;
const NO_XML =
  // biome-ignore lint/suspicious/noControlCharactersInRegex: XML has no place for them.
  /[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]|[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/;
const SIGNS: Readonly<Record<string, string>> = { amp: '&', lt: '<', gt: '>', quot: '"', '#39': "'" };

/** All elements in order of their opening; throws where it is not well formed. */
export function elementsOf(svg: string): readonly Element[] {
  if (NO_XML.test(svg)) throw new Error('a character that XML does not have');
  const elements: { name: string; attributes: Record<string, string>; text: string }[] = [];
  const open: (typeof elements)[number][] = [];
  let rest = svg;
  while (rest !== '') {
    const start = OPEN.exec(rest);
    const inner = open.at(-1);
    if (start !== null) {
      if (inner === undefined && elements.length > 0) throw new Error('two roots');
      const attributes: Record<string, string> = {};
      for (const [, name = '', value = ''] of (start[2] ?? '').matchAll(/ ([a-zA-Z0-9:-]+)="([^"]*)"/g)) {
        if (name in attributes) throw new Error(`${name} twice`);
        attributes[name] = textOf(value);
      }
      const element = { name: start[1] ?? '', attributes, text: '' };
      elements.push(element);
      if (start[3] === undefined) open.push(element);
      rest = rest.slice(start[0].length);
    } else if (rest.startsWith('</')) {
      const end = `</${open.pop()?.name}>`;
      if (!rest.startsWith(end)) throw new Error(`not ${end}: ${rest.slice(0, 40)}`);
      rest = rest.slice(end.length);
    } else {
      const text = TEXT.exec(rest)?.[0];
      if (text === undefined || inner === undefined) throw new Error(`no XML: ${rest.slice(0, 60)}`);
      inner.text += textOf(text);
      rest = rest.slice(text.length);
    }
  }
  if (open.length > 0) throw new Error(`<${open.at(-1)?.name}> stays open`);
  return elements;
}

function textOf(text: string): string {
  return text.replace(/&(amp|lt|gt|quot|#39);/g, (_, name: string) => SIGNS[name] ?? '');
}

export interface Picture {
  readonly elements: readonly Element[];
  readonly width: number;
  readonly height: number;
  /** Each word with the room it takes. */
  readonly words: readonly { readonly text: string; readonly box: Box }[];
  /** Lines with their points, in the order drawn. */
  readonly lines: readonly {
    readonly dash: string | undefined;
    readonly width: number;
    readonly points: readonly (readonly [number, number])[];
  }[];
}

const PLACES = ['x', 'y', 'x1', 'x2', 'y1', 'y2', 'cx', 'cy'] as const;
/** What stands on an edge may be half outside of it. */
const EDGE = 0.06;

/** Reads a picture and holds it to what must be true of every one. */
export function readPicture(svg: string): Picture {
  const elements = elementsOf(svg);
  const [root, title, desc] = elements;
  if (root?.name !== 'svg' || title?.name !== 'title' || desc?.name !== 'desc')
    throw new Error('no picture with its words');
  const { role, viewBox = '', 'aria-labelledby': named } = root.attributes;
  if (role !== 'img') throw new Error('no role');
  if (named !== `${title.attributes.id} ${desc.attributes.id}`) throw new Error('not named by its words');
  const [, , width = 0, height = 0] = viewBox.split(' ').map(Number);
  const within = (value: number, most: number, what: string): number => {
    if (!(value >= -EDGE && value <= most + EDGE))
      throw new Error(`${what} at ${value} is not within ${most}`);
    return value;
  };
  for (const { name, attributes } of elements) {
    for (const key of PLACES) {
      const value = attributes[key];
      if (value !== undefined) within(Number(value), key.includes('x') ? width : height, `${name} ${key}`);
    }
  }
  const lines = elements
    .filter(({ name }) => name === 'path')
    .map(({ attributes: { d = '', 'stroke-dasharray': dash, 'stroke-width': thick } }) => ({
      dash,
      width: Number(thick),
      points: d
        .split(/[ML]/)
        .slice(1)
        .map((point) => {
          const [x = Number.NaN, y = Number.NaN] = point.split(' ').map(Number);
          return [within(x, width, 'path x'), within(y, height, 'path y')] as const;
        }),
    }));
  const words = elements
    .filter(({ name }) => name === 'text')
    .map(({ attributes, text }) => {
      const anchor = (attributes['text-anchor'] ?? 'start') as Label['anchor'];
      const at = { x: Number(attributes.x), y: Number(attributes.y) };
      return { text, box: boxOf({ text, size: Number(attributes['font-size']), anchor, at }) };
    });
  return { elements, width, height, words, lines };
}
