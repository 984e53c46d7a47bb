/** Owns the command line's words: which options there are, which verb takes which, and what is said when they are off. */
import { parseArgs } from 'node:util';
import { SEVERITIES } from '../rules/rule.ts';
import { type Call, type Option, READERS, type Verb } from './verb.ts';
import { VERBS } from './verbs.ts';

const THRESHOLDS = [...SEVERITIES, 'never'] as const;

const OPTIONS: Readonly<Record<Option, { readonly how: string; readonly does: string }>> = {
  'fail-on': {
    how: `--fail-on ${THRESHOLDS.join('|')}`,
    does: 'exit 1 at this severity or above (default: error)',
  },
  fix: {
    how: '--fix',
    does: 'first brings the tags of the sheets into their normal form; prose is never touched',
  },
  for: { how: `--for ${READERS.join('|')}`, does: `who reads it (default: ${READERS[0]})` },
  like: { how: '--like SHEET', does: 'the earlier jobs that look like this one, and what was found there' },
  serial: { how: '--serial NUMBER', does: 'this amplifier alone' },
  'with-readings': {
    how: '--with-readings',
    does: 'for the customer: with the main readings before and after',
  },
  write: { how: '--write', does: 'changes the sheets instead of showing what would change' },
};

const names = VERBS.map(({ name }) => name);

export const USAGE = `tagstrip VERB [PATHS…] [options]

PATHS are sheets (*.tagstrip.md) or folders; without any, this folder.

${VERBS.map(({ name, does }) => `  ${name.padEnd(10)} ${does}`).join('\n')}

${VERBS.filter(({ formats }) => formats.length > 1)
  .map(({ name, formats }) => `  ${name.padEnd(10)} --format ${formats.join('|')} (default: ${formats[0]})`)
  .join('\n')}

${(Object.entries(OPTIONS) as [Option, (typeof OPTIONS)[Option]][])
  .filter(([option]) => takers(option).length > 0)
  .map(([option, { how, does }]) => `  ${how}\n            ${takers(option).join(', ')}: ${does}`)
  .join('\n')}
  --out FILE
            writes there instead of to the terminal; with several summaries a folder
  --help, --version

Exit: 0 nothing at or above --fail-on, 1 findings, 2 unusable call or unreadable file, 3 a fault of Tagstrip.

Results are only as good as the readings: no warning never means that an amplifier may be touched.
`;

function takers(option: Option): readonly string[] {
  return VERBS.filter(({ options }) => options.includes(option)).map(({ name }) => name);
}

export type Parsed =
  | { readonly kind: 'call'; readonly verb: Verb; readonly call: Call }
  | { readonly kind: 'help' }
  | { readonly kind: 'version' }
  | { readonly kind: 'wrong'; readonly message: string };

export function readArguments(args: readonly string[]): Parsed {
  let parsed: ReturnType<typeof parse>;
  try {
    parsed = parse(args);
  } catch (error) {
    return wrong(error instanceof Error ? error.message : String(error));
  }
  const { values, positionals } = parsed;
  if (values.help === true) return { kind: 'help' };
  if (values.version === true) return { kind: 'version' };
  const [name, ...paths] = positionals;
  if (name === undefined) return wrong(`say what to do: ${names.join(', ')}`);
  const verb = VERBS.find((each) => each.name === name);
  if (verb === undefined) return wrong(`there is no verb '${name}': ${names.join(', ')}`);
  const unwanted = (Object.keys(OPTIONS) as Option[]).find(
    (option) => values[option] !== undefined && !verb.options.includes(option),
  );
  if (unwanted !== undefined) return wrong(`${name} takes no --${unwanted}`);
  const format = values.format ?? verb.formats[0];
  if (!isOneOf(verb.formats, format))
    return wrong(`${name} --format takes ${verb.formats.join(' or ')}, not '${format}'`);
  const failOn = values['fail-on'] ?? 'error';
  if (!isOneOf(THRESHOLDS, failOn)) return wrong(`--fail-on takes ${THRESHOLDS.join(', ')}, not '${failOn}'`);
  const reader = values.for ?? READERS[0];
  if (!isOneOf(READERS, reader)) return wrong(`--for takes ${READERS.join(' or ')}, not '${reader}'`);
  return {
    kind: 'call',
    verb,
    call: {
      paths: paths.length === 0 ? ['.'] : paths,
      format,
      failOn,
      reader,
      withReadings: values['with-readings'] === true,
      write: values.write === true,
      fix: values.fix === true,
      ...(values.like === undefined ? {} : { like: values.like }),
      ...(values.serial === undefined ? {} : { serial: values.serial }),
      ...(values.out === undefined ? {} : { out: values.out }),
    },
  };
}

function wrong(message: string): Parsed {
  return { kind: 'wrong', message };
}

function parse(args: readonly string[]) {
  return parseArgs({
    args: [...args],
    allowPositionals: true,
    options: {
      format: { type: 'string' },
      'fail-on': { type: 'string' },
      for: { type: 'string' },
      like: { type: 'string' },
      serial: { type: 'string' },
      'with-readings': { type: 'boolean' },
      write: { type: 'boolean' },
      fix: { type: 'boolean' },
      out: { type: 'string' },
      help: { type: 'boolean', short: 'h' },
      version: { type: 'boolean' },
    },
  });
}

function isOneOf<T extends string>(list: readonly T[], text: string): text is T {
  return (list as readonly string[]).includes(text);
}
