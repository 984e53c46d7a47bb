export function buildAll(options?: { readonly minify?: boolean; readonly outdir?: string }): Promise<void>;
