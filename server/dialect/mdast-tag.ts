/**
 * Owns the nodes that our syntax extensions add to the Markdown tree: a tag, and mathematics that hides tags. A tag node
 * carries its source and its place; it is read from the text by whoever walks the tree.
 */
import type { Literal } from 'mdast';
import type { CompileContext, Extension, Token } from 'mdast-util-from-markdown';

/** A pair of braces that opens as a tag; `value` is its source (a soft line break in it as it is). */
export interface TagNode extends Literal {
  readonly type: 'tag';
}

/** A formula in running text. */
export interface MathTextNode extends Literal {
  readonly type: 'mathText';
}

/** A formula between fences. */
export interface MathFlowNode extends Literal {
  readonly type: 'mathFlow';
}

declare module 'mdast' {
  interface PhrasingContentMap {
    tag: TagNode;
    mathText: MathTextNode;
  }
  interface BlockContentMap {
    mathFlow: MathFlowNode;
  }
  interface RootContentMap {
    tag: TagNode;
    mathText: MathTextNode;
    mathFlow: MathFlowNode;
  }
}

export function tagFromMarkdown(): Extension {
  return {
    enter: {
      tag(this: CompileContext, token: Token) {
        this.enter({ type: 'tag', value: this.sliceSerialize(token) }, token);
      },
      mathText(this: CompileContext, token: Token) {
        this.enter({ type: 'mathText', value: this.sliceSerialize(token) }, token);
      },
      mathFlow(this: CompileContext, token: Token) {
        this.enter({ type: 'mathFlow', value: '' }, token);
      },
    },
    exit: { tag: close, mathText: close, mathFlow: close },
  };
}

function close(this: CompileContext, token: Token): void {
  this.exit(token);
}
