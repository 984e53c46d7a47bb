/**
 * Owns mathematics as a micromark syntax extension, only so that nothing inside it is taken for a tag: `$…$` in running
 * text and a fence of two or more `$` alone on a line. What the formula says is nobody's business here.
 */
import { codes, types } from 'micromark-util-symbol';
import type {
  Code,
  Construct,
  Effects,
  Extension,
  State,
  TokenizeContext,
  Tokenizer,
} from 'micromark-util-types';

declare module 'micromark-util-types' {
  interface TokenTypeMap {
    mathText: 'mathText';
    mathTextMarker: 'mathTextMarker';
    mathTextData: 'mathTextData';
    mathFlow: 'mathFlow';
    mathFlowFence: 'mathFlowFence';
    mathFlowValue: 'mathFlowValue';
  }
}

const mathText: Construct = { name: 'mathText', tokenize: tokenizeMathText, previous: isAllowedBefore };
const mathFlow: Construct = { name: 'mathFlow', tokenize: tokenizeMathFlow, concrete: true };

export function mathSyntax(): Extension {
  return { text: { [codes.dollarSign]: mathText }, flow: { [codes.dollarSign]: mathFlow } };
}

/** A run of `$` is taken whole or not at all. */
function isAllowedBefore(this: TokenizeContext, code: Code): boolean {
  return code !== codes.dollarSign || this.events[this.events.length - 1]?.[1].type === types.characterEscape;
}

/**
 * Money is commoner than mathematics in a service note, so a single `$` opens only before a character that is not a
 * space and closes only behind one, and not before a digit (`$40 and $60` is money). The next run of `$` closes or the
 * attempt fails: that keeps `$a $a $a …` linear.
 */
function tokenizeMathText(
  this: TokenizeContext,
  effects: Effects,
  ok: State,
  nok: State,
): ReturnType<Tokenizer> {
  let size = 0;
  let closing = 0;
  let last: Code = codes.eof;
  return start;

  /**
   * At the opening run.
   *
   * ```markdown
   * > | a $V_{R1}$ b
   *       ^
   * ```
   */
  function start(code: Code): State | undefined {
    effects.enter('mathText');
    effects.enter('mathTextMarker');
    return open(code);
  }

  function open(code: Code): State | undefined {
    if (code === codes.dollarSign) {
      size++;
      effects.consume(code);
      return open;
    }
    if (size === 1 && isSpaceOrEnd(code)) return nok(code);
    effects.exit('mathTextMarker');
    return between(code);
  }

  /** Behind the opening run or a soft line break. */
  function between(code: Code): State | undefined {
    if (code === codes.eof) return nok(code);
    if (code === codes.dollarSign) return beforeClose(code);
    if (isLineEnding(code)) {
      effects.enter(types.lineEnding);
      effects.consume(code);
      effects.exit(types.lineEnding);
      last = code;
      return between;
    }
    effects.enter('mathTextData');
    return inside(code);
  }

  /**
   * In the formula.
   *
   * ```markdown
   * > | a $V_{R1}$ b
   *        ^^^^^^
   * ```
   */
  function inside(code: Code): State | undefined {
    const isClose = code === codes.dollarSign && last !== codes.backslash;
    if (code === codes.eof || isLineEnding(code) || isClose) {
      effects.exit('mathTextData');
      return between(code);
    }
    effects.consume(code);
    last = code;
    return inside;
  }

  function beforeClose(code: Code): State | undefined {
    if (size === 1 && isSpaceOrEnd(last)) return nok(code);
    effects.enter('mathTextMarker');
    return close(code);
  }

  /**
   * At the closing run, which must be as long as the opening one.
   *
   * ```markdown
   * > | a $V_{R1}$ b
   *              ^
   * ```
   */
  function close(code: Code): State | undefined {
    if (code === codes.dollarSign) {
      closing++;
      effects.consume(code);
      return close;
    }
    if (closing !== size || (size === 1 && isDigit(code))) return nok(code);
    effects.exit('mathTextMarker');
    effects.exit('mathText');
    return ok(code);
  }
}

/**
 * Like fenced code, but nothing may stand behind the opening `$$`: a line that begins with money must not hide the rest
 * of a sheet.
 */
function tokenizeMathFlow(
  this: TokenizeContext,
  effects: Effects,
  ok: State,
  nok: State,
): ReturnType<Tokenizer> {
  const self = this;
  const nextLine: Construct = { tokenize: tokenizeNextLine, partial: true };
  const closingFence: Construct = { tokenize: tokenizeClosingFence, partial: true };
  let size = 0;
  return start;

  /**
   * At the opening fence.
   *
   * ```markdown
   * > | $$
   *     ^
   *   | V = I R
   *   | $$
   * ```
   */
  function start(code: Code): State | undefined {
    effects.enter('mathFlow');
    effects.enter('mathFlowFence');
    return open(code);
  }

  function open(code: Code): State | undefined {
    if (code === codes.dollarSign) {
      size++;
      effects.consume(code);
      return open;
    }
    return size < 2 ? nok(code) : afterOpen(code);
  }

  function afterOpen(code: Code): State | undefined {
    if (code === codes.eof || isLineEnding(code)) {
      effects.exit('mathFlowFence');
      if (self.interrupt) return ok(code);
      return effects.attempt(nextLine, lineStart, after)(code);
    }
    if (!isSpace(code)) return nok(code);
    effects.consume(code);
    return afterOpen;
  }

  /**
   * At the start of a line that belongs to the container the fence is in.
   *
   * ```markdown
   *   | $$
   * > | V = I R
   *     ^
   * > | $$
   *     ^
   * ```
   */
  function lineStart(code: Code): State | undefined {
    return effects.attempt(closingFence, after, contentStart)(code);
  }

  function contentStart(code: Code): State | undefined {
    if (code === codes.eof) return after(code);
    if (isLineEnding(code)) return effects.attempt(nextLine, lineStart, after)(code);
    effects.enter('mathFlowValue');
    return content(code);
  }

  function content(code: Code): State | undefined {
    if (code === codes.eof || isLineEnding(code)) {
      effects.exit('mathFlowValue');
      return contentStart(code);
    }
    effects.consume(code);
    return content;
  }

  function after(code: Code): State | undefined {
    effects.exit('mathFlow');
    return ok(code);
  }

  /** Over a line ending, unless the next line is outside the container (a lazy line never continues a fence). */
  function tokenizeNextLine(
    this: TokenizeContext,
    effects: Effects,
    ok: State,
    nok: State,
  ): ReturnType<Tokenizer> {
    return atEnding;

    function atEnding(code: Code): State | undefined {
      if (code === codes.eof) return nok(code);
      effects.enter(types.lineEnding);
      effects.consume(code);
      effects.exit(types.lineEnding);
      return behindEnding;
    }

    function behindEnding(code: Code): State | undefined {
      return self.parser.lazy[self.now().line] ? nok(code) : ok(code);
    }
  }

  /**
   * At a line that may be the closing fence: up to three spaces, at least as many `$`, nothing behind.
   *
   * ```markdown
   *   | $$
   *   | V = I R
   * > | $$
   *     ^
   * ```
   */
  function tokenizeClosingFence(
    this: TokenizeContext,
    effects: Effects,
    ok: State,
    nok: State,
  ): ReturnType<Tokenizer> {
    let indent = 0;
    let count = 0;
    return begin;

    function begin(code: Code): State | undefined {
      effects.enter('mathFlowFence');
      return prefix(code);
    }

    function prefix(code: Code): State | undefined {
      if (isSpace(code)) {
        if (++indent > 3) return nok(code);
        effects.consume(code);
        return prefix;
      }
      return sequence(code);
    }

    function sequence(code: Code): State | undefined {
      if (code === codes.dollarSign) {
        count++;
        effects.consume(code);
        return sequence;
      }
      return count < size ? nok(code) : behind(code);
    }

    function behind(code: Code): State | undefined {
      if (code === codes.eof || isLineEnding(code)) {
        effects.exit('mathFlowFence');
        return ok(code);
      }
      if (!isSpace(code)) return nok(code);
      effects.consume(code);
      return behind;
    }
  }
}

function isLineEnding(code: Code): boolean {
  return code !== codes.eof && code < codes.horizontalTab;
}

function isSpace(code: Code): boolean {
  return code === codes.horizontalTab || code === codes.virtualSpace || code === codes.space;
}

function isSpaceOrEnd(code: Code): boolean {
  return code === codes.eof || isLineEnding(code) || isSpace(code);
}

function isDigit(code: Code): boolean {
  return code !== codes.eof && code >= codes.digit0 && code <= codes.digit9;
}
