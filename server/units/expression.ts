/**
 * Owns the answer to a `{? …}` question, and is the only file that knows mathjs. The author's text never reaches it:
 * `question.ts` has replaced names and values by `q0`, `q1` …; mathjs parses the operators between them, and the tree
 * is walked node by node over an allow-list, with every dimension and every number checked before and after its step.
 */
import {
  absDependencies,
  addDependencies,
  create,
  divideDependencies,
  type FactoryFunctionMap,
  type FunctionNode,
  log10Dependencies,
  type MathJsInstance,
  type MathNode,
  maxDependencies,
  minDependencies,
  multiplyDependencies,
  type OperatorNode,
  type ParenthesisNode,
  parseDependencies,
  powDependencies,
  type SymbolNode,
  sqrtDependencies,
  subtractDependencies,
} from 'mathjs/number';
import { cover, type Span, span } from '../text/span.ts';
import {
  type Dimension,
  describeDimension,
  dimensionOf,
  findUnit,
  isRatio,
  isSameDimension,
  powerOfDimension,
  timesDimension,
} from './dimension.ts';
import { type QuestionRefusal, type QuestionToken, readQuestion } from './question.ts';
import { type Quantity, quantity } from './si.ts';

/** What a name stands for; bounds where it is not known exactly. */
export type ResolvedName =
  | { readonly quantity: Quantity; readonly low?: number; readonly high?: number }
  | { readonly refused: string };

export interface QuestionAnswer {
  readonly ok: true;
  readonly quantity: Quantity;
  /** Only where an input is not known exactly. */
  readonly low?: number;
  readonly high?: number;
  /** The names asked for, each once, at their first place. */
  readonly inputs: readonly { readonly name: string; readonly span: Span }[];
  readonly formula: string;
}

/** Up to so many uncertain inputs every corner of their bounds is computed; beyond, their single effects are added up. */
const MAX_CORNER_INPUTS = 6;
const MAX_POWER_OF_UNIT = 8;
const MAX_POWER_OF_NUMBER = 100;

/** Only what the parser and the allowed arithmetic need, so that the bundle carries no more of the library. */
const factories: FactoryFunctionMap = Object.assign(
  {},
  parseDependencies,
  addDependencies,
  subtractDependencies,
  multiplyDependencies,
  divideDependencies,
  powDependencies,
  sqrtDependencies,
  absDependencies,
  minDependencies,
  maxDependencies,
  log10Dependencies,
);

/** Made when the first question is asked: most sheets have none, and building the parser costs a start some milliseconds. */
let built: MathJsInstance | undefined;
function getMath(): MathJsInstance {
  built ??= create(factories, {});
  return built;
}

/** Answer a question: arithmetic over names that `resolve` knows and values with units. */
export function evaluateQuestion(
  text: string,
  resolve: (name: string, where: Span) => ResolvedName,
): QuestionAnswer | QuestionRefusal {
  const words = readQuestion(text);
  if (!words.ok) return words;
  const operands = resolveOperands(words.tokens, resolve);
  if (!operands.ok) return operands;
  const { places, byName } = operands;
  const tree = parseOperators(operands.expression);
  if (tree === undefined)
    return { ok: false, reason: 'the question cannot be read', span: span(0, text.length) };
  const evaluate: Evaluate = (values) => {
    const divisors: number[] = [];
    const answer = walk(tree, { places, values, divisors });
    return answer.ok ? { ...answer, divisors } : answer;
  };
  const answer = evaluate(places.map((place) => place.quantity.value));
  if (!answer.ok) return answer;
  const unit = findUnit(answer.dimension);
  if (unit === undefined) {
    const reason = `the answer would be in ${describeDimension(answer.dimension)}, which is no unit used here`;
    return { ok: false, reason, span: span(0, text.length) };
  }
  const band = findBand(places, answer, evaluate);
  if (!band.ok) return band;
  return {
    ok: true,
    quantity: quantity(answer.value, unit),
    ...(band.isWide ? { low: band.low, high: band.high } : {}),
    inputs: [...byName].map(([name, index]) => ({ name, span: places[index]?.span ?? span(0, text.length) })),
    formula: words.formula,
  };
}

// ---------------------------------------------------------------------------------------------------------------
// Operands

interface Operand {
  readonly quantity: Quantity;
  readonly low: number;
  readonly high: number;
  /** Where it first stands. */
  readonly span: Span;
}

interface Operands {
  readonly ok: true;
  readonly places: readonly Operand[];
  readonly byName: ReadonlyMap<string, number>;
  readonly expression: string;
}

const operators = { '+': '+', '-': '-', '*': '*', '/': '/', '^': '^', '(': '(', ')': ')', ',': ',' } as const;

/** Parallel binds tighter than multiplication, as a drawing reads; mathjs has one such operator to lend, `.^`. */
const PARALLEL = '.^';

function resolveOperands(
  tokens: readonly QuestionToken[],
  resolve: (name: string, where: Span) => ResolvedName,
): Operands | QuestionRefusal {
  const places: Operand[] = [];
  const byName = new Map<string, number>();
  const parts: string[] = [];
  for (const token of tokens) {
    switch (token.kind) {
      case 'sign':
        parts.push(token.sign === '||' ? PARALLEL : operators[token.sign]);
        break;
      case 'function':
        parts.push(token.name);
        break;
      case 'value': {
        const { value } = token.quantity;
        places.push({ quantity: token.quantity, low: value, high: value, span: token.span });
        parts.push(`q${places.length - 1}`);
        break;
      }
      default: {
        let index = byName.get(token.name);
        if (index === undefined) {
          const operand = operandOf(token.name, token.span, resolve);
          if (!operand.ok) return operand;
          index = places.push(operand.operand) - 1;
          // A constant is no input: nobody reads pi off a meter.
          if (!operand.isConstant) byName.set(token.name, index);
        }
        parts.push(`q${index}`);
      }
    }
  }
  return { ok: true, places, byName, expression: parts.join(' ') };
}

function operandOf(
  name: string,
  where: Span,
  resolve: (name: string, where: Span) => ResolvedName,
): { readonly ok: true; readonly operand: Operand; readonly isConstant: boolean } | QuestionRefusal {
  if (name === 'pi') {
    const operand = { quantity: quantity(Math.PI, '1'), low: Math.PI, high: Math.PI, span: where };
    return { ok: true, operand, isConstant: true };
  }
  const resolved = resolve(name, where);
  if ('refused' in resolved) return { ok: false, reason: resolved.refused, span: where };
  const { value } = resolved.quantity;
  const { low = value, high = value } = resolved;
  if (!Number.isFinite(value) || !Number.isFinite(low) || !Number.isFinite(high)) {
    return { ok: false, reason: `${name} is only known to lie on one side of a limit`, span: where };
  }
  return {
    ok: true,
    operand: {
      quantity: resolved.quantity,
      low: Math.min(low, high),
      high: Math.max(low, high),
      span: where,
    },
    isConstant: false,
  };
}

/** The tree, or undefined; `question.ts` lets nothing through that fails here, but a parser's throw must not be ours. */
function parseOperators(expression: string): MathNode | undefined {
  try {
    return getMath().parse(expression);
  } catch {
    return undefined;
  }
}

// ---------------------------------------------------------------------------------------------------------------
// Walking the tree

interface Step {
  readonly ok: true;
  readonly value: number;
  readonly dimension: Dimension;
  readonly span: Span;
}

interface Scope {
  readonly places: readonly Operand[];
  readonly values: readonly number[];
  /** Every divisor met, in the order of the walk: one that changes its sign between two corners passes through zero. */
  readonly divisors: number[];
}

const RATIO = dimensionOf('1');

function walk(node: MathNode, scope: Scope): Step | QuestionRefusal {
  switch (node.type) {
    case 'SymbolNode':
      return symbolStep((node as SymbolNode).name, scope);
    case 'ParenthesisNode':
      return walk((node as ParenthesisNode).content, scope);
    case 'OperatorNode': {
      const { fn, args, implicit } = node as unknown as OperatorNode & { readonly fn: string };
      if (implicit || (fn === 'pow' && isBareParallel(args[1]))) return misread(scope);
      return operate(fn, args, scope);
    }
    case 'FunctionNode': {
      const { fn, args } = node as FunctionNode;
      return operate(fn.name, args, scope);
    }
    default:
      return misread(scope);
  }
}

/** `a^2 || b` would be read as `a^(2 || b)`, because `.^` is `^`'s equal. */
function isBareParallel(node: MathNode | undefined): boolean {
  return node?.type === 'OperatorNode' && (node as unknown as { readonly fn: string }).fn === 'dotPow';
}

function misread(scope: Scope): QuestionRefusal {
  const where = cover(scope.places.map((place) => place.span)) ?? span(0, 0);
  return { ok: false, reason: 'write brackets, so that it can only be read one way', span: where };
}

function symbolStep(symbol: string, scope: Scope): Step | QuestionRefusal {
  const index = Number(symbol.slice(1));
  const place = scope.places[index];
  const value = scope.values[index];
  if (place === undefined || value === undefined) return misread(scope);
  return { ok: true, value, dimension: dimensionOf(place.quantity.unit), span: place.span };
}

function operate(name: string, args: readonly MathNode[], scope: Scope): Step | QuestionRefusal {
  const steps: Step[] = [];
  for (const arg of args) {
    const step = walk(arg, scope);
    if (!step.ok) return step;
    steps.push(step);
  }
  const [a, b] = steps;
  if (a === undefined) return misread(scope);
  const where = cover(steps.map((step) => step.span)) ?? a.span;
  const result =
    b === undefined
      ? unary(name, a, where)
      : steps.length === 2
        ? binary(name, a, b, where)
        : many(name, steps, where);
  if (!result.ok) return result;
  if (name === 'divide' && b !== undefined) scope.divisors.push(b.value);
  if (!Number.isFinite(result.value)) return { ok: false, reason: 'the number grows too large', span: where };
  return result;
}

function unary(name: string, a: Step, where: Span): Step | QuestionRefusal {
  switch (name) {
    case 'unaryPlus':
    case 'min':
    case 'max':
      return { ...a, span: where };
    case 'unaryMinus':
      return step(a.value === 0 ? 0 : -a.value, a.dimension, where);
    case 'abs':
      return step(Number(getMath().abs(a.value)), a.dimension, where);
    case 'sqrt':
      if (a.value < 0) return refusal('the square root of a negative number', where);
      return step(Number(getMath().sqrt(a.value)), powerOfDimension(a.dimension, 0.5), where);
    case 'log10':
      if (!isRatio(a.dimension))
        return refusal(`a logarithm takes a ratio, not ${describeDimension(a.dimension)}`, where);
      if (a.value <= 0) return refusal('the logarithm of a number that is not above zero', where);
      return step(Number(getMath().log10(a.value)), RATIO, where);
    default:
      return refusal(`${name} takes more than one value`, where);
  }
}

function binary(name: string, a: Step, b: Step, where: Span): Step | QuestionRefusal {
  switch (name) {
    case 'add':
    case 'subtract':
      if (!isSameDimension(a.dimension, b.dimension)) return refusal(cannotJoin(name, a, b), where);
      return step(Number(getMath()[name](a.value, b.value)), a.dimension, where);
    case 'multiply':
      return step(
        Number(getMath().multiply(a.value, b.value)),
        timesDimension(a.dimension, b.dimension),
        where,
      );
    case 'divide':
      if (b.value === 0) return refusal('a division by zero', b.span);
      return step(
        Number(getMath().divide(a.value, b.value)),
        timesDimension(a.dimension, powerOfDimension(b.dimension, -1)),
        where,
      );
    case 'pow':
      return power(a, b, where);
    case 'dotPow':
      return parallel(a, b, where);
    default:
      return many(name, [a, b], where);
  }
}

function many(name: string, steps: readonly Step[], where: Span): Step | QuestionRefusal {
  if (name !== 'min' && name !== 'max') return refusal(`${name} takes one value`, where);
  const [first] = steps;
  const other = steps.find((s) => first !== undefined && !isSameDimension(s.dimension, first.dimension));
  if (first === undefined || other !== undefined) {
    return refusal(
      `${name} takes values of one kind, not ${steps.map((s) => describeDimension(s.dimension)).join(' and ')}`,
      where,
    );
  }
  return step(Number(getMath()[name](...steps.map((s) => s.value))), first.dimension, where);
}

function power(a: Step, b: Step, where: Span): Step | QuestionRefusal {
  if (!isRatio(b.dimension))
    return refusal(`a power is a plain number, not ${describeDimension(b.dimension)}`, b.span);
  const isPlain = isRatio(a.dimension);
  const largest = isPlain ? MAX_POWER_OF_NUMBER : MAX_POWER_OF_UNIT;
  if (Math.abs(b.value) > largest) return refusal(`a power above ${largest}`, b.span);
  if (!isPlain && !Number.isInteger(b.value * 2))
    return refusal('units take whole powers and square roots only', b.span);
  if (a.value === 0 && b.value < 0) return refusal('a division by zero', where);
  if (a.value < 0 && !Number.isInteger(b.value)) return refusal('a root of a negative number', where);
  return step(Number(getMath().pow(a.value, b.value)), powerOfDimension(a.dimension, b.value), where);
}

/** `R1 || R2`: resistances and inductances share, capacitances add. */
function parallel(a: Step, b: Step, where: Span): Step | QuestionRefusal {
  const unit = findUnit(a.dimension);
  if (!isSameDimension(a.dimension, b.dimension) || (unit !== 'Ohm' && unit !== 'H' && unit !== 'F')) {
    const kinds = `${describeDimension(a.dimension)} and ${describeDimension(b.dimension)}`;
    return refusal(`|| takes resistors, capacitors or chokes of one kind, not ${kinds}`, where);
  }
  if (unit === 'F') return step(Number(getMath().add(a.value, b.value)), a.dimension, where);
  if (a.value < 0 || b.value < 0) return refusal('|| takes no negative values', where);
  if (a.value === 0 || b.value === 0) return step(0, a.dimension, where);
  const conductance = Number(getMath().add(getMath().divide(1, a.value), getMath().divide(1, b.value)));
  return step(Number(getMath().divide(1, conductance)), a.dimension, where);
}

function step(value: number, dimension: Dimension, where: Span): Step {
  return { ok: true, value, dimension, span: where };
}

function refusal(reason: string, where: Span): QuestionRefusal {
  return { ok: false, reason, span: where };
}

function cannotJoin(name: 'add' | 'subtract', a: Step, b: Step): string {
  const [one, other] = [describeDimension(a.dimension), describeDimension(b.dimension)];
  return name === 'add' ? `${one} and ${other} cannot be added` : `${other} cannot be taken from ${one}`;
}

// ---------------------------------------------------------------------------------------------------------------
// Bounds

type Evaluate = (
  values: readonly number[],
) => (Step & { readonly divisors: readonly number[] }) | QuestionRefusal;
type Evaluated = Extract<ReturnType<Evaluate>, { ok: true }>;

type Band = { readonly ok: true; readonly isWide: boolean; readonly low: number; readonly high: number };

/** The answer's bounds over those of its inputs; refused where it has none. */
function findBand(places: readonly Operand[], answer: Evaluated, evaluate: Evaluate): Band | QuestionRefusal {
  const uncertain = places.flatMap((place, index) => (place.high > place.low ? [{ index, place }] : []));
  const centre = places.map((place) => place.quantity.value);
  const at = (changes: ReadonlyMap<number, number>): Evaluated | QuestionRefusal => {
    const there = evaluate(centre.map((value, i) => changes.get(i) ?? value));
    if (!there.ok) return { ...there, reason: `within what the inputs may be off: ${there.reason}` };
    const crosses = there.divisors.findIndex((d, i) => d > 0 !== (answer.divisors[i] ?? d) > 0);
    if (crosses < 0) return there;
    return refusal('what it is divided by may be zero, within what the inputs may be off', answer.span);
  };
  if (uncertain.length > MAX_CORNER_INPUTS) return bandOfSums(uncertain, answer, at);
  let { value: low, value: high } = answer;
  for (let corner = 0; corner < 2 ** uncertain.length; corner++) {
    const changes = uncertain.map(
      ({ index, place }, bit) => [index, (corner >> bit) % 2 === 0 ? place.low : place.high] as const,
    );
    const there = at(new Map(changes));
    if (!there.ok) return there;
    low = Math.min(low, there.value);
    high = Math.max(high, there.value);
  }
  return { ok: true, isWide: uncertain.length > 0, low, high };
}

/** The effect of each input by itself, added up: a little less than all corners would give, in steps that stay few. */
function bandOfSums(
  uncertain: readonly { readonly index: number; readonly place: Operand }[],
  answer: Evaluated,
  at: (changes: ReadonlyMap<number, number>) => Evaluated | QuestionRefusal,
): Band | QuestionRefusal {
  let { value: low, value: high } = answer;
  for (const { index, place } of uncertain) {
    const down = at(new Map([[index, place.low]]));
    if (!down.ok) return down;
    const up = at(new Map([[index, place.high]]));
    if (!up.ok) return up;
    const changes = [0, down.value - answer.value, up.value - answer.value];
    low += Math.min(...changes);
    high += Math.max(...changes);
  }
  if (!Number.isFinite(low) || !Number.isFinite(high))
    return refusal('the number grows too large', answer.span);
  return { ok: true, isWide: true, low, high };
}
