/**
 * Owns the SI types: branded numbers for arithmetic, and quantities (a number with its unit) for everything that is
 * stored, shown or sent. A constructor refuses NaN and infinities, so no figure can carry one.
 */

/** The units that Tagstrip computes in. `1` is a ratio; `degC` a temperature as bench meters show it. */
export type Unit = 'V' | 'A' | 'Ohm' | 'F' | 'H' | 'Hz' | 'W' | 's' | 'J' | 'dB' | '1' | 'S' | 'C' | 'degC';

/** A number with its unit, in SI base units (no prefix). */
export interface Quantity<U extends Unit = Unit> {
  readonly value: number;
  readonly unit: U;
}

declare const unit: unique symbol;
type Branded<U extends Unit> = number & { readonly [unit]: U };

export type Volts = Branded<'V'>;
export type Amperes = Branded<'A'>;
export type Ohms = Branded<'Ohm'>;
export type Farads = Branded<'F'>;
export type Henries = Branded<'H'>;
export type Hertz = Branded<'Hz'>;
export type Watts = Branded<'W'>;
export type Seconds = Branded<'s'>;
export type Joules = Branded<'J'>;
export type Decibels = Branded<'dB'>;
export type Ratio = Branded<'1'>;
export type Siemens = Branded<'S'>;
export type Coulombs = Branded<'C'>;
export type Celsius = Branded<'degC'>;

function finite<U extends Unit>(value: number): Branded<U> {
  if (!Number.isFinite(value)) throw new RangeError(`not a finite number: ${value}`);
  return value as Branded<U>;
}

export const volts = (value: number): Volts => finite<'V'>(value);
export const amperes = (value: number): Amperes => finite<'A'>(value);
export const ohms = (value: number): Ohms => finite<'Ohm'>(value);
export const farads = (value: number): Farads => finite<'F'>(value);
export const henries = (value: number): Henries => finite<'H'>(value);
export const hertz = (value: number): Hertz => finite<'Hz'>(value);
export const watts = (value: number): Watts => finite<'W'>(value);
export const seconds = (value: number): Seconds => finite<'s'>(value);
export const joules = (value: number): Joules => finite<'J'>(value);
export const decibels = (value: number): Decibels => finite<'dB'>(value);
export const ratio = (value: number): Ratio => finite<'1'>(value);
export const siemens = (value: number): Siemens => finite<'S'>(value);
export const coulombs = (value: number): Coulombs => finite<'C'>(value);
export const celsius = (value: number): Celsius => finite<'degC'>(value);

export function quantity<U extends Unit>(value: number, of: U): Quantity<U> {
  return { value: finite<U>(value), unit: of };
}
