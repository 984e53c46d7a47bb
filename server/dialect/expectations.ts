/** Owns the words that tell a technician what a tag wanted where it could not be read. */
import type { ReadLabel } from './label.ts';
import type { PartClass } from './tree.ts';
import { nameOfClass } from './vocabulary.ts';

/** What a part of this class takes behind its sign. */
export function wants(name: string, sign: string, partClass: PartClass): string {
  return `${name} ${sign} wants ${exampleOf(partClass)}`;
}

function exampleOf(partClass: PartClass): string {
  switch (partClass) {
    case 'resistor':
    case 'thermistor':
      return 'a value: 470R, 4k7 …';
    case 'potentiometer':
      return 'a value: 1M log, 10k lin …';
    case 'capacitor':
      return 'a value: 22n 400V, 47uF 450V …';
    case 'inductor':
      return 'a value: 10H 250R …';
    case 'transformer':
    case 'transformer-or-transistor':
      return 'its windings: mains 290-0-290V 150mA 6.3V 4A, output 8k : 8R …';
    case 'valve':
      return 'a type: 12AX7, 6V6GT …';
    case 'diode':
      return 'a type: 1N4007 …';
    case 'transistor':
    case 'integrated-circuit':
      return 'a type';
    case 'fuse':
      return 'a rating: T1A, F500mA …';
    case 'loudspeaker':
      return 'an impedance: 8R 30W …';
    case 'tank':
      return 'its coils: tank in 8R out 2k2';
    default:
      return `what ${nameOfClass(partClass)} is, or where it is connected`;
  }
}

export function expectedIn(partClass: PartClass): string {
  const where = 'a comma and where it is connected (V5.k to gnd)';
  return partClass === 'valve' ? `a kind, or ${where}` : `a rating, a kind, or ${where}`;
}

export function wantsReading(name: string, label: ReadLabel): string {
  const first = label.points[0];
  if (label.to !== undefined || first?.kind !== 'ref')
    return `${name}: wants what was read: 331 V, 8.2 Vpp …`;
  switch (first.class) {
    case 'valve':
      return `${name}: wants electrodes or a current: a 331, g2 322, k 19.4, 38 mA`;
    case 'capacitor':
      return `${name}: wants what was read: 31uF, ESR 4R2, 2uA at 400 V … or a state: leaking`;
    case 'potentiometer':
      return `${name}: wants what was read: at 3, 850k / 150k … or a state: scratchy`;
    default:
      return `${name}: wants what was read: 455R, 78 V … or a state: charred, cracked …`;
  }
}

/** What may stand behind the dot of such a part, for messages. */
export function terminalsOf(partClass: PartClass): string {
  switch (partClass) {
    case 'valve':
      return 'a valve has a, g, g2, g3, k, h and its pins by number';
    case 'transistor':
      return 'a transistor has b, c, e or g, d, s';
    case 'potentiometer':
      return 'a pot has terminals 1, 2, 3, or wiper';
    case 'diode':
      return 'a diode has a and k';
    default:
      return `${nameOfClass(partClass)} has its terminals by number`;
  }
}
