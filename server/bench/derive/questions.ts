/** Owns the answers to `{? …}` questions: what each name in them stands for in the set they stand beside. */
import { refused } from '../../electronics/result.ts';
import type { QuestionStatement } from '../../sheet/model.ts';
import { evaluateQuestion, type ResolvedName } from '../../units/expression.ts';
import { type Figure, type FigureInput, findValueInUse, type Unanswered } from '../model.ts';
import { nameOfNode, normalTerminal } from '../points.ts';
import type { PhaseBench } from './bench.ts';
import { as, calculate, input } from './figure.ts';
import { readSet, type SetReadings } from './set-readings.ts';

export interface Answers {
  readonly figures: readonly Figure[];
  readonly unanswered: readonly Unanswered[];
}

export function answerQuestions(bench: PhaseBench, questions: readonly QuestionStatement[]): Answers {
  const figures = new Map<string, Figure>();
  const unanswered: Unanswered[] = [];
  const sets = new Map<number, SetReadings>();
  for (const question of questions) {
    const read =
      sets.get(question.set) ?? readSet(bench.view.readings.filter(({ set }) => set.id === question.set));
    sets.set(question.set, read);
    const answer = answerOne(bench, question, read);
    if ('reason' in answer) unanswered.push(answer);
    else figures.set(`${answer.set} ${answer.subject}`, answer);
  }
  return { figures: [...figures.values()], unanswered };
}

function answerOne(bench: PhaseBench, question: QuestionStatement, read: SetReadings): Figure | Unanswered {
  const subject = question.expression.trim().replace(/\s+/g, ' ');
  const source = { file: bench.sheet.uri, span: question.span };
  const inputs = new Map<string, FigureInput>();
  const resolve = (name: string): ResolvedName => {
    const found = inputs.get(name) ?? findInput(bench, read, name);
    if (typeof found === 'string') return { refused: found };
    inputs.set(name, found);
    const { quantity, low, high } = found.known;
    return { quantity, ...(low !== undefined && { low }), ...(high !== undefined && { high }) };
  };
  const answer = evaluateQuestion(question.expression, resolve);
  if (!answer.ok) return { subject, source, reason: answer.reason };
  const named = answer.inputs.flatMap(({ name }) => inputs.get(name) ?? []);
  const order = answer.inputs.map(({ name }) => name);
  const usesReading = named.some(({ known }) => known.basis === 'read' && known.source !== undefined);
  const figure = calculate(
    { file: bench.sheet.uri, phase: bench.view.phase, set: usesReading ? question.set : 0 },
    {
      subject,
      figure: 'answer',
      unit: answer.quantity.unit,
      formula: answer.formula,
      inputs: named,
      by: (...values) => {
        const again = evaluateQuestion(question.expression, (name) => {
          const at = order.indexOf(name);
          const known = named[at]?.known.quantity;
          return known === undefined
            ? { refused: 'not known' }
            : { quantity: { ...known, value: values[at] ?? known.value } };
        });
        return again.ok ? { ok: true, value: again.quantity.value } : refused(again.reason);
      },
      source,
    },
  );
  return figure === undefined ? { subject, source, reason: 'it has no answer' } : { ...figure, source };
}

const TERMINAL = /^([A-Za-z]+\d+[A-Za-z]?)\.([A-Za-z0-9+]+)$/;

/** A part's value or a point's voltage; in words why not. */
function findInput(bench: PhaseBench, read: SetReadings, name: string): FigureInput | string {
  const part = bench.view.parts.get(name) ?? bench.view.parts.get(name.toUpperCase());
  if (part !== undefined) {
    const known = findValueInUse(part);
    if (known !== undefined) return input(name, part.ref, known);
    if (part.class === 'valve') return `${part.ref} is a valve: name an electrode, as in ${part.ref}.a`;
    return `no value is written for ${part.ref}`;
  }
  const terminal = TERMINAL.exec(name);
  const point =
    terminal === null ? nameOfNode(name).name : pointName(bench, terminal[1] ?? '', terminal[2] ?? '');
  const node = bench.view.circuit.nodeOf(point) ?? point;
  const reading = read.voltsAt(node);
  if (reading !== undefined) return as(name, reading);
  return terminal === null && /^[A-Za-z]+\d+[A-Za-z]?$/.test(name)
    ? `${name} is not in this sheet`
    : `nothing was read at ${name} in this set`;
}

function pointName(bench: PhaseBench, writtenRef: string, writtenTerminal: string): string {
  const part = bench.view.parts.get(writtenRef) ?? bench.view.parts.get(writtenRef.toUpperCase());
  const ref = part?.ref ?? writtenRef.toUpperCase();
  const terminal = normalTerminal(part?.class ?? (/^V\d/i.test(ref) ? 'valve' : 'other'), writtenTerminal);
  const pin = Number(terminal);
  if (part?.class === 'valve' && Number.isInteger(pin)) {
    const electrode = Object.entries(part.valveSection?.pins ?? {}).find(([, pins]) =>
      pins.includes(pin),
    )?.[0];
    if (electrode !== undefined) return `${ref}.${normalTerminal('valve', electrode)}`;
  }
  return `${ref}.${terminal}`;
}
