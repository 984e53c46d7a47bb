/**
 * Owns making figures as they are asked for, where nothing is kept for a next reading: a family is worked when one of the names
 * that it makes is wanted, by whoever asks or by a family that builds on it.
 */
import type { Figure, FigureName, FittedPart } from '../model.ts';
import type { Ledger, PhaseBench, ValveAt } from './bench.ts';

/**
 * What a family goes through, and what it makes of each: it may look at what was read, at what families before it made and at
 * what it made of the same thing itself, not at what it made of another.
 */
export type Family<Bench> = { readonly makes: readonly FigureName[] } & (
  | { readonly of: 'parts'; readonly make: (bench: Bench, part: FittedPart) => void }
  | { readonly of: 'valves'; readonly make: (bench: Bench, valve: ValveAt) => void }
  | { readonly of: 'all'; readonly make: (bench: Bench) => void }
);

/** Families in the order in which they build on each other, and by the names that they make where each stands. */
export interface Families<Bench> {
  readonly list: readonly Family<Bench>[];
  readonly makersOf: ReadonlyMap<FigureName, readonly number[]>;
}

export function inOrder<Bench>(list: readonly Family<Bench>[]): Families<Bench> {
  const makersOf = new Map<FigureName, number[]>();
  for (const [index, { makes }] of list.entries())
    for (const name of makes) {
      const makers = makersOf.get(name);
      if (makers === undefined) makersOf.set(name, [index]);
      else makers.push(index);
    }
  return { list, makersOf };
}

const NOBODY: readonly number[] = [];

/** The figures of some families. */
export interface OnDemand {
  /** All of them, by family. */
  readonly lists: () => readonly (readonly Figure[])[];
  /** Those of one name, for each family that made some, go to the end of `into`. */
  readonly gather: (name: FigureName, into: (readonly Figure[])[]) => void;
}

/** The same each time, made when it is first asked for. */
export function lazily<T>(make: () => T): () => T {
  let made: { readonly of: T } | undefined;
  return () => {
    made ??= { of: make() };
    return made.of;
  };
}

/** `open` gives the bench with the ledger that its families write to. */
export function createOnDemand<Bench extends PhaseBench>(
  { list: families, makersOf }: Families<Bench>,
  open: (ledger: Ledger) => Bench,
): OnDemand {
  const lists: (readonly Figure[] | undefined)[] = families.map(() => undefined);
  const indexes: (Map<FigureName, Map<string, Figure>> | undefined)[] = families.map(() => undefined);
  /** The family at work, what it made, and from where on that is of the thing at work. */
  let at = families.length;
  let made: Figure[] = [];
  let from = 0;

  const ofThing = (subject: string, name: FigureName): number => {
    for (let i = from; i < made.length; i++) {
      const each = made[i];
      if (each?.figure === name && each.subject === subject) return i;
    }
    return -1;
  };

  const listOf = (index: number): readonly Figure[] => {
    const known = lists[index];
    if (known !== undefined) return known;
    const outer = { at, made, from };
    const own: Figure[] = [];
    at = index;
    made = own;
    const family = families[index];
    if (family?.of === 'all') {
      from = 0;
      family.make(bench);
    } else if (family?.of === 'parts') {
      for (const part of bench.parts) {
        from = own.length;
        family.make(bench, part);
      }
    } else if (family?.of === 'valves') {
      for (const valve of bench.valves) {
        from = own.length;
        family.make(bench, valve);
      }
    }
    at = outer.at;
    made = outer.made;
    from = outer.from;
    lists[index] = own;
    return own;
  };

  /** What a family made of a name, by subject: of two that are the same figure the later one, in the first one's place. */
  const namedIn = (index: number, name: FigureName): ReadonlyMap<string, Figure> | undefined => {
    let byName = indexes[index];
    if (byName === undefined) {
      byName = new Map();
      for (const figure of listOf(index)) {
        let bySubject = byName.get(figure.figure);
        if (bySubject === undefined) {
          bySubject = new Map();
          byName.set(figure.figure, bySubject);
        }
        bySubject.set(figure.subject, figure);
      }
      indexes[index] = byName;
    }
    return byName.get(name);
  };

  const bench = open({
    add: (figure) => {
      if (figure === undefined) return figure;
      const before = ofThing(figure.subject, figure.figure);
      if (before < 0) made.push(figure);
      else made[before] = figure;
      return figure;
    },
    find: (subject, name) => {
      const own = ofThing(subject, name);
      if (own >= 0) return made[own];
      const makers = makersOf.get(name) ?? NOBODY;
      for (let i = makers.length - 1; i >= 0; i--) {
        const index = makers[i] ?? 0;
        const there = index < at ? namedIn(index, name)?.get(subject) : undefined;
        if (there !== undefined) return there;
      }
      return undefined;
    },
    all: () => made.slice(from),
  });

  return {
    lists: () => families.map((_, index) => listOf(index)),
    gather: (name, into) => {
      for (const index of makersOf.get(name) ?? NOBODY) {
        const named = namedIn(index, name);
        if (named !== undefined) into.push([...named.values()]);
      }
    },
  };
}
