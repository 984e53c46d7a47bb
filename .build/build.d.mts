/** What went into one bundle, and what it still asks for from outside. */
export interface Bundle {
  readonly inputs: Readonly<Record<string, unknown>>;
  readonly imports: readonly { readonly path: string }[];
}

/** Writes all bundles; answers with each by its name. */
export function buildAll(options?: {
  readonly minify?: boolean;
  readonly outdir?: string;
}): Promise<Readonly<Record<string, Bundle>>>;
