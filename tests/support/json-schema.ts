/** Owns how tests hold JSON to a schema of `grammar/json/`: the few words of JSON Schema that those use, and no others. */

type Schema = Readonly<Record<string, unknown>>;

const KNOWN = new Set(
  '$schema title description type required properties additionalProperties items enum const minimum $ref $defs'.split(
    ' ',
  ),
);

/** What is wrong, one line a fault with its path; empty where all is well. */
export function schemaFaults(value: unknown, schema: Schema, root = schema, at = '$'): readonly string[] {
  const unknown = Object.keys(schema).filter((key) => !KNOWN.has(key));
  if (unknown.length > 0) throw new Error(`this reader does not know ${unknown.join(', ')}`);
  if (typeof schema.$ref === 'string') {
    const name = schema.$ref.replace('#/$defs/', '');
    const named = (root.$defs as Readonly<Record<string, Schema>>)[name];
    if (named === undefined) throw new Error(`no ${schema.$ref}`);
    return schemaFaults(value, named, root, at);
  }
  const faults: string[] = [];
  if ('const' in schema && value !== schema.const) faults.push(`${at} is not ${String(schema.const)}`);
  if (Array.isArray(schema.enum) && !schema.enum.includes(value)) faults.push(`${at} is ${String(value)}`);
  if (typeof schema.type === 'string' && !isOfType(value, schema.type)) return [`${at} is no ${schema.type}`];
  if (typeof schema.minimum === 'number' && Number(value) < schema.minimum) faults.push(`${at} is too small`);
  if (Array.isArray(value) && typeof schema.items === 'object')
    faults.push(
      ...value.flatMap((each, i) => schemaFaults(each, schema.items as Schema, root, `${at}[${i}]`)),
    );
  if (schema.type === 'object') {
    const own = value as Readonly<Record<string, unknown>>;
    const properties = (schema.properties ?? {}) as Readonly<Record<string, Schema>>;
    for (const key of (schema.required ?? []) as readonly string[])
      if (own[key] === undefined) faults.push(`${at} has no ${key}`);
    for (const [key, each] of Object.entries(own)) {
      const rule = properties[key] ?? schema.additionalProperties;
      if (rule === false) faults.push(`${at} has ${key}`);
      else if (typeof rule === 'object')
        faults.push(...schemaFaults(each, rule as Schema, root, `${at}.${key}`));
    }
  }
  return faults;
}

function isOfType(value: unknown, type: string): boolean {
  switch (type) {
    case 'array':
      return Array.isArray(value);
    case 'object':
      return typeof value === 'object' && value !== null && !Array.isArray(value);
    case 'integer':
      return Number.isInteger(value);
    default:
      return typeof value === type;
  }
}
