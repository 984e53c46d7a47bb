/**
 * Owns the makers' static operating points to which the output valves' sets are fitted: data sheets recalled from memory and
 * checked by arithmetic (bias against cathode resistor, dissipation against rating), unless a row says otherwise.
 * Voltages to the cathode, currents per valve.
 */
import type { FitTask } from './fit.ts';

/** Parameters of related valves by N. Koren (1996), from memory: what to expect where the points do not decide. */
const BEAM = { mu: 8.7, exponent: 1.35, kG1: 1460, kP: 48, kVB: 12 };
const POWER_PENTODE = { mu: 11, exponent: 1.35, kG1: 650, kP: 60, kVB: 24 };

export const FIT_TASKS: readonly FitTask[] = [
  {
    valve: 'EL84',
    gridToScreen: 19.5,
    points: [
      {
        anode: 250,
        screen: 250,
        grid: -7.3,
        anodeCurrent: 0.048,
        transconductance: 0.0113,
        anodeResistance: 38e3,
      },
      // Printed as 300 V with 130 Ω shared by two valves: taken as the supply, less 10.4 V across the resistor.
      { anode: 289.6, screen: 289.6, grid: -10.4, anodeCurrent: 0.036 },
    ],
    family: { ...POWER_PENTODE, mu: 19.5 },
  },
  {
    valve: '6V6GT',
    points: [
      {
        anode: 250,
        screen: 250,
        grid: -12.5,
        anodeCurrent: 0.045,
        transconductance: 0.0041,
        anodeResistance: 50e3,
      },
      {
        anode: 315,
        screen: 225,
        grid: -13,
        anodeCurrent: 0.034,
        transconductance: 0.00375,
        anodeResistance: 78e3,
      },
      { anode: 250, screen: 250, grid: -15, anodeCurrent: 0.035 },
      { anode: 285, screen: 285, grid: -19, anodeCurrent: 0.035 },
    ],
    family: BEAM,
  },
  {
    valve: '6AQ5',
    points: [
      {
        anode: 250,
        screen: 250,
        grid: -12.5,
        anodeCurrent: 0.045,
        transconductance: 0.0041,
        anodeResistance: 52e3,
      },
    ],
    family: BEAM,
  },
  {
    valve: '6K6GT',
    points: [
      {
        anode: 250,
        screen: 250,
        grid: -18,
        anodeCurrent: 0.032,
        transconductance: 0.0023,
        anodeResistance: 90e3,
      },
    ],
    family: { ...BEAM, mu: 6.8 },
  },
  {
    valve: '5881',
    points: [{ anode: 360, screen: 270, grid: -22.5, anodeCurrent: 0.044 }],
    family: BEAM,
  },
  {
    valve: 'KT66',
    points: [
      {
        anode: 250,
        screen: 250,
        grid: -15,
        anodeCurrent: 0.085,
        transconductance: 0.007,
        anodeResistance: 22.5e3,
      },
      // Published as 62.5 mA of cathode current; the screen's share of the first point is taken off.
      { anode: 400, screen: 400, grid: -38, anodeCurrent: 0.0625 * (85 / 91.3) },
    ],
    family: BEAM,
  },
  {
    valve: 'EF86',
    gridToScreen: 38,
    points: [
      {
        anode: 250,
        screen: 140,
        grid: -2.1,
        anodeCurrent: 0.003,
        transconductance: 0.002,
        anodeResistance: 2.5e6,
      },
    ],
    family: { mu: 38, exponent: 1.35, kG1: 2000, kP: 150, kVB: 10 },
  },
];
