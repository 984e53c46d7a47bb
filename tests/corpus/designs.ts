/**
 * Owns the amplifiers of the corpus as their makers drew them, over the usual topologies, and the units that came off the
 * line: parts within their marking, valves within their spread, mains as it happens to stand.
 */
import type { Chance } from './random.ts';
import {
  type Capacitor,
  type OutputTransformer,
  type Part,
  partsOf,
  rest,
  type Supply,
  type Unit,
} from './unit.ts';

export interface Design {
  readonly name: string;
  readonly unit: Unit;
  readonly isFixedBias: boolean;
}

const TO_230 = { nominal: 230, hertz: 50, now: 230 } as const;
const TO_120 = { nominal: 120, hertz: 60, now: 120 } as const;

const r = (ref: string, value: number, from: string, to: string, style = ''): Part => ({
  kind: 'resistor',
  ref,
  marked: value,
  ohms: value,
  watts: 0,
  style,
  from,
  to,
});

const c = (ref: string, value: number, style: string, from: string, to = 'gnd'): Part => ({
  kind: 'capacitor',
  ref,
  marked: value,
  farads: value,
  rating: 0,
  style,
  from,
  to,
});

const electrolytic = (ref: string, microfarads: number, from: string): Part =>
  c(ref, microfarads * 1e-6, 'electrolytic', from);
const film = (ref: string, nanofarads: number, from: string, to: string): Part =>
  c(ref, nanofarads * 1e-9, 'film', from, to);
const choke = (ref: string, ohms: number, from: string, to: string): Part => ({
  kind: 'choke',
  ref,
  henries: 10,
  marked: ohms,
  ohms,
  from,
  to,
});

const triode = (ref: string, type: string, a?: string, k?: string, g?: string): Part => ({
  kind: 'valve',
  ref,
  type,
  share: 1,
  a: a ?? `${ref}.a`,
  g: g ?? `${ref}.g`,
  k: k ?? `${ref}.k`,
});

const power = (ref: string, type: string, k?: string): Part => ({
  kind: 'valve',
  ref,
  type,
  share: 1,
  a: `${ref}.a`,
  g: `${ref}.g`,
  k: k ?? `${ref}.k`,
  g2: `${ref}.g2`,
});

/** Two triodes in a row with the volume between them; the second's cathode is bypassed or not. */
function preamp(type: string, rail: string, { bypassed = false, load = 100e3 } = {}): readonly Part[] {
  return [
    triode('V1A', type),
    r('R1', 1e6, 'J1', 'gnd'),
    r('R2', 68e3, 'J1', 'V1A.g'),
    r('R3', 1500, 'V1A.k', 'gnd'),
    c('C2', 22e-6, 'electrolytic', 'V1A.k'),
    r('R4', load, 'V1A.a', rail),
    film('C3', 22, 'V1A.a', 'vol'),
    { kind: 'pot', ref: 'VR1', marked: '1M log', ohms: 1e6, top: 'vol', wiper: 'V1B.g' },
    triode('V1B', type),
    r('R6', 1500, 'V1B.k', 'gnd'),
    ...(bypassed ? [c('C5', 22e-6, 'electrolytic', 'V1B.k')] : []),
    r('R7', load, 'V1B.a', rail),
  ];
}

/** A long-tail pair; its anodes are V2A.a and V2B.a. */
function longTail(type: string, rail: string, from: string, valve = 'V2'): readonly Part[] {
  const [one, two] = [`${valve}A`, `${valve}B`];
  return [
    triode(one, type),
    triode(two, type, undefined, `${one}.k`),
    film('C6', 22, from, `${one}.g`),
    r('R9', 1e6, `${one}.g`, 'tail'),
    r('R10', 1e6, `${two}.g`, 'tail'),
    film('C8', 100, `${two}.g`, 'gnd'),
    r('R11', 470, `${one}.k`, 'tail'),
    r('R12', 15e3, 'tail', 'gnd'),
    r('R15', 82e3, `${one}.a`, rail),
    r('R16', 100e3, `${two}.a`, rail),
  ];
}

/** A cathodyne; its outputs are V2A.a and `foot`. */
function cathodyne(type: string, rail: string, from: string): readonly Part[] {
  return [
    triode('V2A', type),
    film('C6', 22, from, 'V2A.g'),
    r('R9', 1e6, 'V2A.g', 'foot'),
    r('R11', 1500, 'V2A.k', 'foot'),
    r('R12', 56e3, 'foot', 'gnd'),
    r('R15', 56e3, 'V2A.a', rail),
  ];
}

/** A common-cathode stage that drives a cathode follower directly; its output is V2B.k. */
function follower(type: string, rail: string, from: string): readonly Part[] {
  return [
    triode('V2A', type),
    film('C4', 22, from, 'V2A.g'),
    r('R31', 1e6, 'V2A.g', 'gnd'),
    r('R32', 820, 'V2A.k', 'gnd'),
    r('R33', 150e3, 'V2A.a', rail),
    triode('V2B', type, rail, undefined, 'V2A.a'),
    r('R34', 100e3, 'V2B.k', 'gnd'),
  ];
}

/** A pair of output valves in push-pull. */
function pair(
  refs: readonly [string, string],
  type: string,
  drive: readonly [string, string],
  bias: { readonly shared?: number; readonly own?: number; readonly leak: number },
  screen: { readonly ohms: number; readonly rail: string },
): readonly Part[] {
  const [one, two] = refs;
  const isFixed = bias.shared === undefined && bias.own === undefined;
  const cathodes: readonly Part[] =
    bias.shared !== undefined
      ? [r('R19', bias.shared, `${one}.k`, 'gnd', 'wirewound'), c('C15', 100e-6, 'electrolytic', `${one}.k`)]
      : [one, two].flatMap((ref, i) =>
          bias.own !== undefined
            ? [
                r(`R${19 + i}`, bias.own, `${ref}.k`, 'gnd', 'wirewound'),
                c(`C${15 + i}`, 100e-6, 'electrolytic', `${ref}.k`),
              ]
            : [r(`R${19 + i}`, 1, `${ref}.k`, 'gnd', '1%')],
        );
  return [
    power(one, type),
    power(two, type, bias.shared === undefined ? undefined : `${one}.k`),
    film('C9', 22, drive[0], `${one}.g`),
    film('C10', 22, drive[1], `${two}.g`),
    r('R17', bias.leak, `${one}.g`, isFixed ? 'bias' : 'gnd'),
    r('R18', bias.leak, `${two}.g`, isFixed ? 'bias' : 'gnd'),
    ...cathodes,
    r('R21', screen.ohms, screen.rail, `${one}.g2`, 'wirewound'),
    r('R22', screen.ohms, screen.rail, `${two}.g2`, 'wirewound'),
  ];
}

/** One output valve with its own cathode resistor. */
function singleEnded(type: string, drive: string, cathode: number, screen: number): readonly Part[] {
  return [
    power('V3', type),
    film('C9', 22, drive, 'V3.g'),
    r('R17', 470e3, 'V3.g', 'gnd'),
    r('R19', cathode, 'V3.k', 'gnd', 'wirewound'),
    c('C15', 100e-6, 'electrolytic', 'V3.k'),
    r('R21', screen, 'B+2', 'V3.g2'),
  ];
}

/** From the reservoir on: the smoothing choke or resistor, then two droppers. */
function rails(
  reservoir: number,
  filter: Part,
  droppers: readonly [number, number],
  bleeder: boolean,
): readonly Part[] {
  return [
    electrolytic('C11', reservoir, 'B+1'),
    filter,
    electrolytic('C12', 47, 'B+2'),
    r('R23', droppers[0], 'B+2', 'B+3'),
    electrolytic('C13', 22, 'B+3'),
    r('R24', droppers[1], 'B+3', 'B+4'),
    electrolytic('C14', 22, 'B+4'),
    ...(bleeder ? [r('R25', 220e3, 'B+1', 'gnd', 'carbon composition')] : []),
  ];
}

function valveSupply(winding: number, milliamperes: number, rectifier: string, rest = ''): Supply {
  return {
    winding,
    tapped: true,
    milliamperes,
    rectifier,
    rectifierRefs: ['V9'],
    connection: 'full-wave',
    rise: 0.02,
    sourceOhms: (0.07 * winding) / (milliamperes / 1000),
    otherWindings: rest,
  };
}

function siliconSupply(winding: number, milliamperes: number, tapped: boolean, rest = ''): Supply {
  return {
    ...valveSupply(winding, milliamperes, '1N4007', rest),
    tapped,
    rectifierRefs: tapped ? ['D1', 'D2'] : ['D1', 'D2', 'D3', 'D4'],
    connection: tapped ? 'full-wave' : 'bridge',
  };
}

function pushPull(
  primary: string,
  watts: number,
  refs: readonly [string, string],
  half: number,
): OutputTransformer {
  return {
    ref: 'T2',
    primary,
    watts,
    anodes: [`${refs[0]}.a`, `${refs[1]}.a`],
    feed: 'B+1',
    ohms: [half, half],
  };
}

const SINGLE: OutputTransformer = {
  ref: 'T2',
  primary: '5k2',
  watts: 8,
  anodes: ['V3.a'],
  feed: 'B+1',
  ohms: [270],
};

const ALL_RAILS = ['B+1', 'B+2', 'B+3', 'B+4'] as const;
const V3V4 = ['V3', 'V4'] as const;
const V4V5 = ['V4', 'V5'] as const;
const ANODES = ['V2A.a', 'V2B.a'] as const;

/** One design a line of business; windings and resistors are chosen so that the average unit runs at 60 to 80 % of its ratings. */
const DRAWN: readonly (Omit<Unit, 'fuse' | 'nodes'> & { readonly nodes?: readonly string[] })[] = [
  {
    title: 'Alder 5',
    mains: TO_230,
    supply: valveSupply(245, 90, 'EZ81'),
    output: SINGLE,
    parts: [
      ...rails(32, r('R20', 1000, 'B+1', 'B+2', 'wirewound'), [10e3, 22e3], false),
      ...preamp('12AX7', 'B+4', { bypassed: true }),
      ...singleEnded('EL84', 'V1B.a', 270, 470),
    ],
  },
  {
    title: 'Birch 5',
    mains: TO_120,
    supply: siliconSupply(215, 100, false),
    output: SINGLE,
    parts: [
      ...rails(47, r('R20', 470, 'B+1', 'B+2', 'wirewound'), [10e3, 22e3], true),
      ...preamp('12AX7', 'B+4'),
      ...singleEnded('EL84', 'V1B.a', 220, 1000),
    ],
  },
  {
    title: 'Cedar 6',
    mains: TO_120,
    supply: valveSupply(260, 90, '5Y3GT'),
    output: SINGLE,
    parts: [
      ...rails(16, r('R20', 2200, 'B+1', 'B+2', 'wirewound'), [10e3, 22e3], false),
      ...preamp('12AX7', 'B+4', { bypassed: true }),
      ...singleEnded('6V6GT', 'V1B.a', 470, 470),
    ],
  },
  {
    title: 'Dogwood 12',
    mains: TO_120,
    supply: valveSupply(275, 150, '5Y3GT'),
    output: pushPull('8k', 15, V3V4, 130),
    nodes: ['foot'],
    parts: [
      ...rails(16, choke('L1', 250, 'B+1', 'B+2'), [10e3, 22e3], false),
      ...preamp('12AX7', 'B+4', { bypassed: true }),
      ...cathodyne('12AX7', 'B+3', 'V1B.a'),
      ...pair(V3V4, '6V6GT', ['V2A.a', 'foot'], { shared: 330, leak: 220e3 }, { ohms: 1000, rail: 'B+2' }),
    ],
  },
  {
    title: 'Elder 12',
    mains: TO_230,
    supply: valveSupply(245, 120, 'EZ81'),
    output: pushPull('8k', 15, V3V4, 130),
    nodes: ['tail'],
    parts: [
      ...rails(32, r('R20', 1000, 'B+1', 'B+2', 'wirewound'), [10e3, 22e3], true),
      ...preamp('12AX7', 'B+4'),
      ...longTail('12AX7', 'B+3', 'V1B.a'),
      ...pair(V3V4, '6V6GT', ANODES, { shared: 330, leak: 220e3 }, { ohms: 470, rail: 'B+2' }),
    ],
  },
  {
    title: 'Hazel 15',
    mains: TO_230,
    supply: valveSupply(250, 130, 'EZ81'),
    output: pushPull('8k', 15, V3V4, 140),
    nodes: ['tail'],
    parts: [
      ...rails(47, choke('L1', 200, 'B+1', 'B+2'), [10e3, 10e3], false),
      ...preamp('12AX7', 'B+4', { bypassed: true, load: 220e3 }),
      ...longTail('12AX7', 'B+3', 'V1B.a'),
      ...pair(V3V4, 'EL84', ANODES, { shared: 150, leak: 470e3 }, { ohms: 1000, rail: 'B+2' }),
    ],
  },
  {
    title: 'Ivy 15',
    mains: TO_120,
    supply: siliconSupply(210, 150, false),
    output: pushPull('8k', 15, V3V4, 140),
    nodes: ['foot'],
    parts: [
      ...rails(47, r('R26', 470, 'B+1', 'B+2', 'wirewound'), [10e3, 22e3], true),
      ...preamp('12AX7', 'B+4'),
      ...cathodyne('12AU7', 'B+3', 'V1B.a'),
      ...pair(V3V4, 'EL84', ['V2A.a', 'foot'], { own: 330, leak: 470e3 }, { ohms: 1000, rail: 'B+2' }),
    ],
  },
  {
    title: 'Larch 20',
    mains: TO_230,
    supply: valveSupply(290, 300, 'GZ34'),
    output: pushPull('6k6', 25, V3V4, 65),
    nodes: ['tail'],
    parts: [
      ...rails(47, choke('L1', 200, 'B+1', 'B+2'), [10e3, 22e3], true),
      ...preamp('12AX7', 'B+4', { bypassed: true }),
      ...longTail('12AX7', 'B+3', 'V1B.a'),
      ...pair(V3V4, '5881', ANODES, { own: 430, leak: 220e3 }, { ohms: 1000, rail: 'B+2' }),
    ],
  },
  {
    title: 'Maple 25',
    mains: TO_120,
    supply: siliconSupply(275, 250, true),
    output: pushPull('5k', 30, V3V4, 60),
    nodes: ['tail'],
    parts: [
      ...rails(47, choke('L1', 150, 'B+1', 'B+2'), [10e3, 22e3], true),
      ...preamp('12AX7', 'B+4'),
      ...longTail('12AT7', 'B+3', 'V1B.a'),
      ...pair(V3V4, '6L6GC', ANODES, { own: 390, leak: 220e3 }, { ohms: 470, rail: 'B+2' }),
    ],
  },
  {
    title: 'Oak 50',
    mains: TO_230,
    supply: siliconSupply(305, 300, false, '50V 50mA'),
    output: pushPull('3k4', 60, V3V4, 35),
    bias: -36,
    nodes: ['tail', 'bias'],
    parts: [
      ...rails(47, choke('L1', 100, 'B+1', 'B+2'), [10e3, 22e3], true),
      ...preamp('12AX7', 'B+4', { bypassed: true }),
      ...longTail('12AX7', 'B+3', 'V1B.a'),
      ...pair(V3V4, 'EL34', ANODES, { leak: 220e3 }, { ohms: 1000, rail: 'B+2' }),
    ],
  },
  {
    title: 'Poplar 50',
    mains: TO_230,
    supply: valveSupply(325, 300, 'GZ34', '50V 50mA'),
    output: pushPull('3k4', 60, V4V5, 35),
    bias: -36,
    nodes: ['tail', 'bias'],
    parts: [
      // Low enough for the follower's cathode to stay well within what a 12AX7's heater stands.
      ...rails(47, choke('L1', 100, 'B+1', 'B+2'), [10e3, 22e3], true),
      ...preamp('12AX7', 'B+4', { bypassed: true }),
      ...follower('12AX7', 'B+4', 'V1B.a'),
      ...longTail('12AX7', 'B+3', 'V2B.k', 'V3'),
      ...pair(V4V5, 'EL34', ['V3A.a', 'V3B.a'], { leak: 220e3 }, { ohms: 1000, rail: 'B+2' }),
    ],
  },
  {
    title: 'Rowan 40',
    mains: TO_120,
    supply: siliconSupply(300, 250, true, '50V 50mA'),
    output: pushPull('4k2', 50, V3V4, 45),
    bias: -40,
    nodes: ['tail', 'bias'],
    parts: [
      ...rails(47, choke('L1', 120, 'B+1', 'B+2'), [4700, 10e3], false),
      ...preamp('12AX7', 'B+4', { bypassed: true }),
      ...longTail('12AT7', 'B+3', 'V1B.a'),
      ...pair(V3V4, '6L6GC', ANODES, { leak: 220e3 }, { ohms: 470, rail: 'B+2' }),
    ],
  },
  {
    title: 'Yew 60',
    mains: TO_230,
    supply: siliconSupply(315, 300, true, '80V 50mA'),
    output: pushPull('4k', 80, V3V4, 30),
    bias: -50,
    nodes: ['tail', 'bias'],
    parts: [
      ...rails(47, choke('L1', 100, 'B+1', 'B+2'), [10e3, 22e3], true),
      ...preamp('12AX7', 'B+4', { bypassed: true }),
      ...longTail('12AT7', 'B+3', 'V1B.a'),
      ...pair(V3V4, 'KT88', ANODES, { leak: 100e3 }, { ohms: 470, rail: 'B+2' }),
    ],
  },
];

const RATED_WATTS = [0.5, 1, 2, 3, 5, 10, 20];
const RATED_VOLTS = [16, 25, 35, 50, 63, 100, 160, 250, 350, 400, 450, 500, 550, 600, 630, 1000];
const ANODE_WATTS: Readonly<Record<string, number>> = {
  EL84: 12,
  '6V6GT': 12,
  '5881': 23,
  '6L6GC': 30,
  EL34: 25,
  KT88: 42,
};

export function anodeRating(type: string): number {
  return ANODE_WATTS[type] ?? Number.POSITIVE_INFINITY;
}

/** The designs with every part rated as a careful maker would, from where the average unit rests. */
export const DESIGNS: readonly Design[] = DRAWN.map(rate);

function rate({ nodes = [], ...drawn }: (typeof DRAWN)[number]): Design {
  const isFixedBias = drawn.bias !== undefined;
  const bare: Unit = { ...drawn, fuse: 'T2A', nodes: [...ALL_RAILS, ...nodes] };
  const unit = isFixedBias ? setBias(bare, 0.62) : bare;
  const { volts } = rest(unit);
  const { winding, tapped } = unit.supply;
  // Unloaded, at the highest mains: a tenth up here, and the winding's own rise.
  const cold = winding * Math.SQRT2 * 1.1 * 1.1 - (tapped ? 0 : 2);
  const at = (node: string): number => (node === 'J1' || node === 'vol' ? 0 : volts(node));
  const parts = unit.parts.map((part): Part => {
    if (part.kind === 'resistor') {
      const across = Math.abs(at(part.from) - at(part.to));
      const watts = RATED_WATTS.find((each) => each >= (2.4 * across ** 2) / part.marked) ?? 20;
      return { ...part, ...resistorOf(watts, across, part.style) };
    }
    if (part.kind !== 'capacitor') return part;
    return { ...part, rating: RATED_VOLTS.find((each) => each >= wanted(part, cold, unit, at)) ?? 1000 };
  });
  return { name: drawn.title, unit: { ...unit, parts }, isFixedBias };
}

function wanted(part: Capacitor, cold: number, unit: Unit, at: (node: string) => number): number {
  if (part.from.startsWith('B+')) return cold;
  if (part.style === 'electrolytic') return 2.1 * at(part.from);
  return part.to === 'gnd' ? 400 : 1.12 * (cold - (unit.bias ?? 0));
}

/** Size and style: what is small is film, what is warm is wire-wound, and high volts want a long body. */
function resistorOf(watts: number, across: number, style: string): { watts: number; style: string } {
  if (style === '1%') return { watts: 1, style: '1%' };
  if (style === 'carbon composition') return { watts: 2, style };
  if (style === 'wirewound' || watts > 3) return { watts: Math.max(5, watts), style: 'wirewound' };
  if (watts >= 2) return { watts: 3, style: 'metal oxide' };
  return { watts: across > 250 ? 1 : watts, style: 'carbon film' };
}

/** Turns the bias until the hotter output valve idles at a share of its rating. */
export function setBias(unit: Unit, share: number): Unit {
  const outputs = partsOf(unit, 'valve').filter(({ g2 }) => g2 !== undefined);
  const loadingAt = (bias: number): number => {
    const { watts } = rest({ ...unit, bias });
    return Math.max(...outputs.map(({ ref, type }) => watts(ref).anode / anodeRating(type)));
  };
  // The current goes with about the square of what is left above cut-off: steps on the root close in a few turns.
  let [before, bias] = [(unit.bias ?? -40) * 1.1, unit.bias ?? -40];
  let was = Math.sqrt(loadingAt(before));
  for (let turn = 0; turn < 6; turn++) {
    const now = Math.sqrt(loadingAt(bias));
    if (Math.abs(now - Math.sqrt(share)) < 0.004 || now === was) break;
    const next = bias + ((Math.sqrt(share) - now) * (bias - before)) / (now - was);
    [before, was, bias] = [bias, now, Math.min(-5, Math.max(-90, next))];
  }
  return { ...unit, bias: Math.round(bias * 10) / 10 };
}

/** How far a part may truly be off what is marked on it. */
function spreadOf(style: string): number {
  if (style === '1%') return 0.01;
  return style === 'electrolytic' ? 0.18 : style === 'film' ? 0.1 : 0.05;
}

/** One unit off the line. */
export function drawUnit({ unit, isFixedBias }: Design, chance: Chance): Unit {
  const now = Math.round(chance.between(0.965, 1.03) * unit.mains.nominal);
  const pairShare = chance.between(0.85, 1.15);
  const parts = unit.parts.map((part) => drawPart(part, pairShare, chance));
  const half = (value: number): number => chance.near(value, 0.04);
  const [first = 0, second] = unit.output.ohms;
  const drawn: Unit = {
    ...unit,
    parts,
    mains: { ...unit.mains, now },
    output: {
      ...unit.output,
      ohms: second === undefined ? [half(first)] : [half(first), half(second * 1.06)],
    },
    supply: {
      ...unit.supply,
      rise: chance.between(0, 0.05),
      sourceOhms: chance.near(unit.supply.sourceOhms, 0.2),
    },
  };
  return isFixedBias ? setBias(drawn, chance.between(0.58, 0.68)) : drawn;
}

function drawPart(part: Part, pairShare: number, chance: Chance): Part {
  switch (part.kind) {
    case 'resistor':
      return { ...part, ohms: chance.near(part.ohms, spreadOf(part.style)) };
    case 'capacitor':
      return { ...part, farads: chance.near(part.farads, spreadOf(part.style)) };
    case 'choke':
      return { ...part, ohms: chance.near(part.ohms, 0.08) };
    case 'pot':
      return { ...part, ohms: chance.near(part.ohms, 0.15) };
    case 'valve': {
      const share = chance.between(0.8, 1.2);
      // Output valves are bought as pairs; preamp valves as they come.
      return { ...part, share: part.g2 === undefined ? share : chance.near(pairShare, 0.04) };
    }
  }
}
