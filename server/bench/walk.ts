/** Owns the order in which a technician walks through an amplifier, and at which stop of it a part is met. */
import type { FittedPart, PhaseView, Role } from './model.ts';

export const STOPS = [
  'supply',
  'input',
  'tone',
  'splitter',
  'output',
  'feedback',
  'reverb',
  'mechanics',
  'unplaced',
] as const;
export type Stop = (typeof STOPS)[number];

const BY_ROLE: Partial<Record<Role, Stop>> = {
  dropper: 'supply',
  reservoir: 'supply',
  smoothing: 'supply',
  bleeder: 'supply',
  choke: 'supply',
  'mains-transformer': 'supply',
  rectifier: 'supply',
  standby: 'supply',
  'heater-reference': 'supply',
  'bias-supply': 'output',
  'output-transformer': 'output',
  volume: 'tone',
  bright: 'tone',
  tone: 'tone',
  'treble-cut': 'tone',
  tail: 'splitter',
  'long-tail-pair': 'splitter',
  cathodyne: 'splitter',
  paraphase: 'splitter',
  'grid-return': 'splitter',
  feedback: 'feedback',
  'feedback-loop': 'feedback',
  'feedback-shelf': 'feedback',
  'reverb-drive': 'reverb',
  'reverb-recovery': 'reverb',
};

const BY_CLASS: Partial<Record<FittedPart['class'], Stop>> = {
  fuse: 'supply',
  thermistor: 'supply',
  loudspeaker: 'output',
  tank: 'reverb',
  connector: 'mechanics',
  'test-point': 'mechanics',
  switch: 'mechanics',
  lamp: 'mechanics',
  relay: 'mechanics',
  battery: 'supply',
  other: 'mechanics',
};

/** Where the part is met. Its network goes before its role, and those before the valves that it serves. */
export function stopOf(part: FittedPart, view: PhaseView): Stop {
  if (part.class === 'valve') return stopOfValve(part, view);
  const found = view.roles.get(part.ref);
  const named = found?.network === undefined ? undefined : BY_ROLE[found.network.name];
  const own = named ?? (found === undefined ? undefined : BY_ROLE[found.role]);
  if (own !== undefined) return own;
  const served = (found?.serves ?? []).flatMap((ref) => view.parts.get(ref) ?? []);
  const [valve] = served;
  if (valve !== undefined) return stopOfValve(valve, view);
  const byClass = BY_CLASS[part.class];
  if (byClass !== undefined) return byClass;
  return found !== undefined && found.role !== 'unknown' ? 'input' : 'unplaced';
}

function stopOfValve(valve: FittedPart, view: PhaseView): Stop {
  const sections = [...view.parts.values()].filter(
    ({ class: of, ref, whole }) => of === 'valve' && (ref === valve.ref || whole === valve.ref),
  );
  const stops = sections.map((section) => stopOfSection(section, view));
  return (
    STOPS.find((stop) => stop !== 'input' && stop !== 'unplaced' && stops.includes(stop)) ??
    stops[0] ??
    'unplaced'
  );
}

function stopOfSection(section: FittedPart, view: PhaseView): Stop {
  if (section.type?.valve?.kind === 'rectifier') return 'supply';
  const found = view.roles.get(section.ref);
  const network = found?.network?.name ?? found?.role;
  const named = network === undefined ? undefined : BY_ROLE[network];
  if (named !== undefined) return named;
  const around = [...section.terminals.values()].flatMap((node) =>
    node === 'gnd' ? [] : view.circuit.attached(node).map(({ ref }) => ref),
  );
  const roles = around.flatMap((ref) => {
    const each = view.roles.get(ref);
    return each?.serves.includes(section.ref) ? [each.role, each.network?.name] : [];
  });
  if (roles.includes('output-transformer')) return 'output';
  const splitting = roles.find((role) => role !== undefined && SPLITTERS.has(role));
  if (splitting !== undefined) return 'splitter';
  return section.terminals.size === 0 && around.length === 0 ? 'unplaced' : 'input';
}

const SPLITTERS: ReadonlySet<Role> = new Set<Role>(['long-tail-pair', 'cathodyne', 'paraphase', 'tail']);
