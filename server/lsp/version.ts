/** Owns which version of Tagstrip this is, as the package says. */
import manifest from '../../package.json' with { type: 'json' };

export const version: string = manifest.version;
