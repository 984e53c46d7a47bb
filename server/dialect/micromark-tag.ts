/**
 * Owns the tag as a micromark syntax extension: where in running text a pair of braces is one token. It knows brackets
 * and line endings; whether the braces open a tag is asked of the tag grammar, and what a tag says is read elsewhere.
 * Being a text construct, it inherits what CommonMark says of text: nothing is a tag after `\`, in code, in HTML or in a
 * link's target, and a tag may stand in emphasis, link text, headings, footnotes and table cells.
 */
import { codes, types } from 'micromark-util-symbol';
import type { Code, Construct, Extension, State, Token, TokenizeContext } from 'micromark-util-types';

declare module 'micromark-util-types' {
  interface TokenTypeMap {
    tag: 'tag';
    tagMarker: 'tagMarker';
    tagData: 'tagData';
  }
}

/** The extension; `opens` is given the braces and all between them, a soft line break as the line ending it is. */
export function tagSyntax(opens: (source: string) => boolean): Extension {
  const construct: Construct = {
    name: 'tag',
    previous: isAllowedBefore,
    tokenize(effects, ok, nok) {
      // The token is made when the marker is entered and only looked at when its twin is found.
      let tag: Token;
      const sourceOf = (token: Pick<Token, 'start' | 'end'>): string => this.sliceSerialize(token);
      const now = () => this.now();
      return start;

      /**
       * At the opening brace.
       *
       * ```markdown
       * > | a {C14: 4n4} b
       *       ^
       * ```
       */
      function start(code: Code): State | undefined {
        tag = effects.enter('tag');
        effects.enter('tagMarker');
        effects.consume(code);
        effects.exit('tagMarker');
        return between;
      }

      /**
       * Behind the opening brace or a soft line break. Another opening brace ends the attempt, which keeps
       * `{R1 {R1 {R1 …` linear; the end of the text does, which is the end of the paragraph.
       *
       * ```markdown
       * > | a {C14:
       *        ^
       * > | 4n4} b
       *     ^
       * ```
       */
      function between(code: Code): State | undefined {
        if (code === codes.eof || code === codes.leftCurlyBrace) return nok(code);
        if (code === codes.rightCurlyBrace) return close(code);
        if (isLineEnding(code)) {
          effects.enter(types.lineEnding);
          effects.consume(code);
          effects.exit(types.lineEnding);
          return between;
        }
        effects.enter('tagData');
        return data(code);
      }

      /**
       * In what the tag says.
       *
       * ```markdown
       * > | a {C14: 4n4} b
       *        ^^^^^^^^
       * ```
       */
      function data(code: Code): State | undefined {
        if (
          code === codes.eof ||
          code === codes.leftCurlyBrace ||
          code === codes.rightCurlyBrace ||
          isLineEnding(code)
        ) {
          effects.exit('tagData');
          return between(code);
        }
        effects.consume(code);
        return data;
      }

      /**
       * At the closing brace, where it is decided whether this was a tag.
       *
       * ```markdown
       * > | a {C14: 4n4} b
       *                ^
       * ```
       */
      function close(code: Code): State | undefined {
        if (!opens(`${sourceOf({ start: tag.start, end: now() })}}`)) return nok(code);
        effects.enter('tagMarker');
        effects.consume(code);
        effects.exit('tagMarker');
        effects.exit('tag');
        return ok;
      }
    },
  };
  return { text: { [codes.leftCurlyBrace]: construct } };
}

/** Not behind another brace (`{{R1}}` is some template's), unless that one is escaped (`\{{R1}` is a brace and a tag). */
function isAllowedBefore(this: TokenizeContext, code: Code): boolean {
  return (
    code !== codes.leftCurlyBrace || this.events[this.events.length - 1]?.[1].type === types.characterEscape
  );
}

function isLineEnding(code: Code): boolean {
  return code !== codes.eof && code < codes.horizontalTab;
}
