/** Owns the ratings that parts are commonly sold in, so that advice names one that can be bought. Common practice, no source. */
import { type Volts, volts, type Watts, watts } from '../units/si.ts';

const CAPACITOR_VOLTAGES: readonly Volts[] = [
  16, 25, 35, 50, 63, 100, 160, 200, 250, 350, 400, 450, 500, 630, 1000,
].map(volts);

const RESISTOR_POWERS: readonly Watts[] = [0.25, 0.5, 0.6, 1, 2, 3, 5, 7, 10].map(watts);

/** Less usual now, or written so. */
const OLDER_POWERS: readonly Watts[] = [0.125, 0.33, 0.35, 4, 6, 8, 9, 12, 15, 17, 20, 25, 50].map(watts);

/** A sum that comes out a hair above a rating must not ask for the next. */
const ROUNDING = 1 - 1e-9;

/** The lowest capacitor voltage on sale that is not below `atLeast` volts; undefined above 1000 V and for what is no voltage. */
export function nextVoltageRating(atLeast: number): Volts | undefined {
  return CAPACITOR_VOLTAGES.find((rating) => rating >= atLeast * ROUNDING);
}

/** Whether so many volts are what capacitors are sold for. */
export function isVoltageRating(voltage: number): boolean {
  return CAPACITOR_VOLTAGES.some((rating) => rating === voltage) || voltage === 600;
}

/** The lowest resistor power on sale that is not below `atLeast` watts; undefined above 10 W and for what is no power. */
export function nextPowerRating(atLeast: number): Watts | undefined {
  return RESISTOR_POWERS.find((rating) => rating >= atLeast * ROUNDING);
}

/** Whether so many watts are what resistors are or were sold for. */
export function isPowerRating(power: number): boolean {
  return [...RESISTOR_POWERS, ...OLDER_POWERS].some((rating) => Math.abs(rating - power) < 1e-6 * rating);
}
