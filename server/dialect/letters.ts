/**
 * Owns the class letters of reference designators: which letters make a ref, and what kind of part they name.
 * Letters are those of IEEE 315-1975 clause 22.4 with the habits of the amplifier trade; where the two differ the trade
 * wins, because that is what the bench writes: `VR`, `RV` and `P` are pots (IEEE: breakdown diode, varistor, plug).
 */
import type { PartClass } from './tree.ts';

const CLASSES: ReadonlyMap<string, PartClass> = new Map<string, PartClass>(
  Object.entries({
    R: 'resistor',
    VR: 'potentiometer',
    RV: 'potentiometer',
    P: 'potentiometer',
    POT: 'potentiometer',
    C: 'capacitor',
    VC: 'capacitor',
    TC: 'capacitor',
    L: 'inductor',
    CH: 'inductor',
    T: 'transformer',
    PT: 'transformer',
    MT: 'transformer',
    OT: 'transformer',
    OPT: 'transformer',
    TR: 'transformer-or-transistor',
    V: 'valve',
    D: 'diode',
    CR: 'diode',
    ZD: 'diode',
    BR: 'diode',
    Q: 'transistor',
    U: 'integrated-circuit',
    IC: 'integrated-circuit',
    F: 'fuse',
    FS: 'fuse',
    S: 'switch',
    SW: 'switch',
    J: 'connector',
    SK: 'connector',
    PL: 'connector',
    X: 'connector',
    LS: 'loudspeaker',
    SP: 'loudspeaker',
    DS: 'lamp',
    LP: 'lamp',
    K: 'relay',
    RL: 'relay',
    TK: 'tank',
    TP: 'test-point',
    RT: 'thermistor',
    TH: 'thermistor',
    BT: 'battery',
    B: 'battery',
    E: 'other',
    FB: 'other',
    FL: 'other',
    W: 'other',
    XF: 'other',
    Z: 'other',
  }),
);

/** Letters that name a part without a number, because an amplifier usually has one. */
const ALONE = new Set(['PT', 'MT', 'OT', 'OPT', 'LS']);

export function findPartClass(letters: string): PartClass | undefined {
  return CLASSES.get(letters);
}

export function canStandAlone(letters: string): boolean {
  return ALONE.has(letters);
}
