// Numbers as they are shown. Twin: webapp/figures/display.py, where the rule for digits stands.

import { firstPower, writeNumber } from "./number.js";

const MOST_DIGITS = 6;
const LEAST_DIGITS = 2;
export const EXACT_DIGITS = 5;
export const OTHER_DIGITS = 4;
export const FULL_DIGITS = 12;
const LEAST_ECHO = 1e-3;
const MOST_ECHO = 1e7;
const LEAST_OTHER = 1e-6;

/** @typedef {{symbol: string, factor: number, offset: number}} Unit */
/** @typedef {{number: string, unit: string}} Shown */

/** @type {(si: number, unit: Unit) => number} the number of a quantity in a unit */
export const inUnit = (si, unit) => (si - unit.offset) / unit.factor + 0;

/** @type {(value: number, spread: number) => number} power of ten of the last digit that a value deserves */
function lastPlace(value, spread) {
  const [first, digit] = firstPower(spread);
  let place = digit < 3 ? first - 1 : first;
  if (value) {
    const top = firstPower(value)[0];
    place = Math.min(Math.max(place, top - MOST_DIGITS + 1), top - LEAST_DIGITS + 1);
  }
  return place === -3 && Math.abs(value) >= 1 ? -2 : place;
}

/**
 * A quantity's number in a unit, with the digits that its SI `spread` allows; 0 for an exact one.
 * @param {number} si
 * @param {Unit} unit
 * @param {number} spread
 * @param {string} decimal
 */
export function written(si, unit, spread, decimal) {
  const value = inUnit(si, unit);
  if (spread > 0) return writeNumber(value, lastPlace(value, spread / unit.factor), null, decimal);
  return exact(value, EXACT_DIGITS, decimal);
}

/**
 * A number to so many digits without closing noughts.
 * @param {number} value
 * @param {number} digits
 * @param {string} decimal
 */
export function exact(value, digits, decimal) {
  if (!value) return "0";
  let place = firstPower(value)[0] - digits + 1;
  if (place === -3 && Math.abs(value) >= 1) place = -4;
  const text = writeNumber(value, place, null, decimal);
  if (!text.includes(decimal) || text.includes("e")) return text;
  let short = text.replace(/0+$/, "");
  if (short.endsWith(decimal)) short = short.slice(0, -1);
  const [whole, decimals = ""] = short.split(decimal);
  return decimals.length === 3 && whole.replace("−", "") !== "0" ? `${short}0` : short;
}

/**
 * A spread's number, to the same place as the value it belongs to but never as nought.
 * @param {number} spread SI
 * @param {Unit} unit
 * @param {number} value in the unit
 * @param {string} decimal
 */
export function halfWidth(spread, unit, value, decimal) {
  const width = spread / unit.factor;
  const place = Math.min(lastPlace(value, width), firstPower(width)[0]);
  return writeNumber(width, place === -3 && width >= 1 ? -2 : place, null, decimal);
}

/**
 * The quantity in the other units of its kind, less those in which it is too small to read.
 * @param {number} si
 * @param {{units: string[]}} kind
 * @param {Record<string, Unit>} units
 * @param {string} first
 * @param {number} spread
 * @param {string} decimal
 * @returns {Shown[]}
 */
export function allUnits(si, kind, units, first, spread, decimal) {
  const isRead = (/** @type {number} */ value) => !value || Math.abs(value) >= LEAST_OTHER;
  const others = kind.units.filter((unit) => unit !== first && isRead(inUnit(si, units[unit])));
  return others.map((unit) => ({ number: written(si, units[unit], spread, decimal), unit: units[unit].symbol }));
}

/**
 * A typed quantity in the other units of its kind, less those in which it is too small or large to read.
 * @param {number} si
 * @param {{units: string[]}} kind
 * @param {Record<string, Unit>} units
 * @param {string} first
 * @param {string} decimal
 * @returns {Shown[]}
 */
export function echo(si, kind, units, first, decimal) {
  const others = kind.units.filter((unit) => unit !== first).map((unit) => ({ symbol: units[unit].symbol, value: inUnit(si, units[unit]) }));
  const readable = others.filter(({ value }) => !value || (Math.abs(value) >= LEAST_ECHO && Math.abs(value) < MOST_ECHO));
  return readable.map(({ symbol, value }) => ({ number: exact(value, OTHER_DIGITS, decimal), unit: symbol }));
}

/** @type {(number: string, symbol: string) => string} '43.5 psi', '90°', or the number alone */
export function withUnit(number, symbol) {
  if (symbol === "°") return number + symbol;
  return symbol ? `${number} ${symbol}` : number;
}

/** @type {(si: number, unit: Unit, decimal: string) => string} a quantity with twelve digits and its unit */
export const fullText = (si, unit, decimal) => withUnit(exact(inUnit(si, unit), FULL_DIGITS, decimal), unit.symbol);
