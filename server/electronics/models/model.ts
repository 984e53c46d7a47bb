/** Owns what a valve model is: a law with its parameters, where they come from, and how far they may be trusted. */
import type { Amperes, Volts } from '../../units/si.ts';
import { type Result, refused } from '../result.ts';
import { type PentodeParameters, pentodeCurrent, pentodeSlopes, type ScreenShare } from './pentode.ts';
import { type Slopes, type TriodeParameters, triodeCurrent, triodeSlopes } from './triode.ts';

export type ValveModel = TriodeModel | PentodeModel;

interface ModelOrigin {
  /** The type that the set describes: `12AX7`. */
  readonly valve: string;
  /** What the set is called beside others of the same valve. */
  readonly name: string;
  /** Publication, or how it was computed. */
  readonly source: string;
  /** In words, with the points that it was held against. */
  readonly knownError: string;
  /** Departure in anode current to expect in the middle of the curves, as a ratio (0.05 is ±5 %); single points may lie further off, see `knownError`. */
  readonly error: number;
  readonly remarks: readonly string[];
}

export interface TriodeModel extends ModelOrigin {
  readonly kind: 'triode';
  readonly parameters: TriodeParameters;
}

export interface PentodeModel extends ModelOrigin {
  readonly kind: 'pentode';
  readonly parameters: PentodeParameters;
  readonly screenShare: ScreenShare;
}

/** What every pentode's screen current must be told with. */
export const SCREEN_SHARE_REMARK =
  "screen current is the typical point's share of the anode current, an estimate; the published formula for it is wrong by a factor of two";

/** Electrode voltages to the cathode; `screen` for pentodes. */
export interface ElectrodeVolts {
  readonly anode: Volts;
  readonly grid: Volts;
  readonly screen?: Volts;
}

/** Anode current of a model at a point; a pentode without a screen voltage is refused. */
export function modelCurrent(model: ValveModel, at: ElectrodeVolts): Result<Amperes> {
  if (model.kind === 'triode') return triodeCurrent(model.parameters, at.anode, at.grid);
  if (at.screen === undefined) return refused('pentode without a screen voltage');
  return pentodeCurrent(model.parameters, at.anode, at.screen, at.grid);
}

/** Slopes of a model at a point; refused below cut-off, and for a pentode without a screen voltage. */
export function modelSlopes(model: ValveModel, at: ElectrodeVolts): Result<Slopes> {
  if (model.kind === 'triode') return triodeSlopes(model.parameters, at.anode, at.grid);
  if (at.screen === undefined) return refused('pentode without a screen voltage');
  return pentodeSlopes(model.parameters, at.anode, at.screen, at.grid);
}
