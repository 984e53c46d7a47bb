/** Owns which of the samples the walkthrough's shop is made of. */

/** The job that is opened, and below it what it builds upon. Its folders are those of a shop. */
export const SAMPLE_FILES = [
  'jobs/2047-larch-20-hot-valve.tagstrip.md',
  'chassis/larch-20.b.tagstrip.md',
  'shop.tagstrip.md',
] as const;
