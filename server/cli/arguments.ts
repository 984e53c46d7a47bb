/** Owns the command line's words: verbs, options and what is said when they are off. */
import { parseArgs } from 'node:util';
import { SEVERITIES, type Severity } from '../rules/rule.ts';

export const VERBS = ['read', 'check', 'figures', 'summary'] as const;
export type Verb = (typeof VERBS)[number];

/** The first of each is what a call without --format gets. */
const FORMATS = {
  read: ['text', 'json'],
  check: ['text', 'json', 'sarif', 'md'],
  figures: ['text', 'json'],
  summary: ['html'],
} as const satisfies Record<Verb, readonly Call['format'][]>;

export interface Call {
  readonly verb: Verb;
  readonly paths: readonly string[];
  readonly format: 'text' | 'json' | 'sarif' | 'md' | 'html';
  readonly failOn: Severity | 'never';
  readonly reader: 'bench' | 'customer';
  readonly out?: string;
}

export const USAGE = `tagstrip VERB [PATHS…] [options]

PATHS are sheets (*.tagstrip.md) or folders; without any, this folder.

  read      what a sheet was understood to say
  check     findings: what is under-rated, over-stressed, contradictory or missing
  figures   every computed figure, and what it was computed from
  summary   the rendered summary of a job

  --format text|json         for read, check and figures (default: text)
  --format sarif|md          check: SARIF 2.1.0 for git hosts, or a comment for a review
  --fail-on error|warning|info|hint|never
                             check: exit 1 at this severity or above (default: error)
  --for bench|customer       summary: who reads it (default: bench)
  --out FILE                 write there instead of to the terminal
  --help, --version

Exit: 0 nothing at or above --fail-on, 1 findings, 2 unusable call or unreadable file, 3 a fault of Tagstrip.

Results are only as good as the readings: no warning never means that an amplifier may be touched.
`;

export type Parsed =
  | { readonly kind: 'call'; readonly call: Call }
  | { readonly kind: 'help' }
  | { readonly kind: 'version' }
  | { readonly kind: 'wrong'; readonly message: string };

export function readArguments(args: readonly string[]): Parsed {
  let parsed: ReturnType<typeof parse>;
  try {
    parsed = parse(args);
  } catch (error) {
    return { kind: 'wrong', message: error instanceof Error ? error.message : String(error) };
  }
  const { values, positionals } = parsed;
  if (values.help === true) return { kind: 'help' };
  if (values.version === true) return { kind: 'version' };
  const [verb, ...paths] = positionals;
  if (verb === undefined) return { kind: 'wrong', message: `say what to do: ${VERBS.join(', ')}` };
  if (!isOneOf(VERBS, verb))
    return { kind: 'wrong', message: `there is no verb '${verb}': ${VERBS.join(', ')}` };
  const formats = FORMATS[verb];
  const format = values.format ?? formats[0];
  if (!isOneOf(formats, format))
    return { kind: 'wrong', message: `${verb} --format takes ${formats.join(' or ')}, not '${format}'` };
  const failOn = values['fail-on'] ?? 'error';
  const thresholds = [...SEVERITIES, 'never'] as const;
  if (!isOneOf(thresholds, failOn))
    return { kind: 'wrong', message: `--fail-on takes ${thresholds.join(', ')}, not '${failOn}'` };
  const reader = values.for ?? 'bench';
  if (!isOneOf(['bench', 'customer'] as const, reader))
    return { kind: 'wrong', message: `--for takes bench or customer, not '${reader}'` };
  return {
    kind: 'call',
    call: {
      verb,
      paths: paths.length === 0 ? ['.'] : paths,
      format,
      failOn,
      reader,
      ...(values.out === undefined ? {} : { out: values.out }),
    },
  };
}

function parse(args: readonly string[]) {
  return parseArgs({
    args: [...args],
    allowPositionals: true,
    options: {
      format: { type: 'string' },
      'fail-on': { type: 'string' },
      for: { type: 'string' },
      out: { type: 'string' },
      help: { type: 'boolean', short: 'h' },
      version: { type: 'boolean' },
    },
  });
}

function isOneOf<T extends string>(list: readonly T[], text: string): text is T {
  return (list as readonly string[]).includes(text);
}
