// Numbers as people type them and as the app writes them. Twin: webapp/figures/numbers.py, where the grammar stands.

import { kindsOf, nearUnits, symbols, unitsAsked, unitsNamed } from "./unit-names.js";

/** @typedef {import("./unit-names.js").Units} Units */
/**
 * A quantity as typed: `number` in `unit` (an id), and the same as `si`. Both finite, never -0.
 * @typedef {{number: number, unit: string, si: number}} Reading
 */

const LIMIT = 64;
const SMALLEST_PLAIN = -9; // powers of ten of the first digit; beyond them stands the form 1.5e20
const LARGEST_PLAIN = 14;
const MOST_DECIMALS = 25; // enough for 17 digits of the smallest plain number; more zeros would only outgrow LIMIT

const VULGAR = ("½:1/2 ⅓:1/3 ⅔:2/3 ¼:1/4 ¾:3/4 ⅕:1/5 ⅖:2/5 ⅗:3/5 ⅘:4/5 "
  + "⅙:1/6 ⅚:5/6 ⅐:1/7 ⅛:1/8 ⅜:3/8 ⅝:5/8 ⅞:7/8 ⅑:1/9 ⅒:1/10").split(" ");

/** @type {(first: number, last: number) => string[]} */
const span = (first, last) => Array.from({ length: last - first + 1 }, (_, n) => String.fromCharCode(first + n));
/** @type {(marks: Iterable<string>, meant: string) => [string, string][]} */
const all = (marks, meant) => [...marks].map((mark) => [mark, meant]);

/** @type {Map<string, string>} */
export const NORMAL = new Map([
  // Two spaces, which no group of digits may hold: two cells of a pasted table must not become one number.
  ...all("\t\n\v\f\r\u0085\u2028\u2029", "  "),
  ...all(["\u00a0", "\u1680", "\u202f", "\u205f", "\u3000", ...span(0x2000, 0x200a)], " "),
  // Direction marks, byte order mark and joiners have no shape: what is read is what is seen.
  ...all("\u061c\u200b\u200e\u200f\u2060\ufeff", ""),
  ...all([...span(0x202a, 0x202e), ...span(0x2066, 0x2069)], ""),
  ...span(0xff01, 0xff5e).flatMap((mark) => all(mark, String.fromCharCode(mark.charCodeAt(0) - 0xfee0))), // full-width forms
  // Digits: Arabic, Persian and Urdu, Devanagari.
  ...[0x0660, 0x06f0, 0x0966].flatMap((zero) => span(zero, zero + 9).flatMap((digit, n) => all(digit, String(n)))),
  ...all(["\u2212", "\ufe58", "\ufe63", ...span(0x2010, 0x2015)], "-"),
  ...all("\u02bc\u066c\u2018\u2019\u2032", "'"),
  ...all("\u201c\u201d\u2033", '"'),
  ...all("\u2044\u2215", "/"),
  ...all("\u066b", "."), ...all("\u060c", ","), ...all("\u066a", "%"),
  // A space on both sides: 1⅛ is 1 1/8, and ½8 is not 1/28.
  ...VULGAR.flatMap((pair) => all(pair[0], ` ${pair.slice(2)} `)),
]);

const MARKED = "(?:[0-9.,]|'(?=[0-9]))";
const RUN = `${MARKED}+(?: [0-9]{3}(?![0-9])${MARKED}*)*`;
const FRACTION = "(?:([0-9]+)(?: +|-))?([0-9]+) ?/ ?([0-9]+)";
const NUMBER = new RegExp(`^([-+]?) *(?:${FRACTION}|(${RUN})([eE][-+]?[0-9]+)?)`);
const SIMPLE = /^([0-9]*)(?:[.,]([0-9]+))?$/;
const GROUPED = /^([1-9][0-9]{0,2}([ '.,])[0-9]{3}(?:\2[0-9]{3})*)(?:(?!\2)[.,]([0-9]+))?$/;
const GROUP_HEAD = /^[1-9][0-9]{0,2}$/;
const POWER = /^([1-9](?:[.,][0-9]+)?)e(-?[1-9][0-9]{1,2})$/;
const NUMBER_MARK = /^[-+0-9.,'/]/;
const MORE_NUMBER = /^(?!'+$)[-+0-9.,'/ ]+$/; // but marks of feet and inches alone are a unit

/** A text that states no number, or a number that cannot be stated; the twin lists codes and fields. */
export class NumberProblem extends Error {
  /**
   * @param {string} code
   * @param {Record<string, string | string[]>} [fields]
   */
  constructor(code, fields = {}) {
    super(code);
    this.name = "NumberProblem";
    this.code = code;
    this.fields = fields;
  }

  /** Key of the sentence among the words of content/words/numbers.md. */
  get key() {
    if (this.fields.choices?.length === 0) return "number_no_unit"; // a bare count: no unit can be named
    return `number_${this.code}${this.fields.near?.length ? "_near" : ""}`;
  }

  /**
   * What is wrong and how to mend it, in the language of `words`.
   * @param {Record<string, string>} words
   */
  sentence(words) {
    return words[this.key].replace(/\{([a-z_]+)\}/g, (_, name) => [this.fields[name]].flat().join(", "));
  }
}

/**
 * The number that `text` states, finite and never -0; a unit behind it is refused.
 * @param {string} text
 * @throws {NumberProblem}
 */
export function readNumber(text) {
  const cleaned = cleanedText(text);
  const found = NUMBER.exec(cleaned);
  if (!found || found[0].length < cleaned.length) throw new NumberProblem("unreadable", { text: cleaned });
  return valueOf(found, cleaned);
}

/** Whether a text can be read as one number. @param {string} text */
export function isNumber(text) {
  try {
    readNumber(text);
    return true;
  } catch (error) {
    if (error instanceof NumberProblem) return false;
    throw error;
  }
}

/**
 * The number and unit that `text` states, as typed into a field.
 * @param {string} text
 * @param {string} kind         kind of the field, a key of units.kinds
 * @param {Units} units
 * @param {string} defaultUnit  id of the unit that is meant when none is typed
 * @returns {Reading}
 * @throws {NumberProblem}      what is wrong with the number comes before what is wrong with the unit
 */
export function readQuantity(text, kind, units, defaultUnit) {
  const cleaned = cleanedText(text);
  const found = NUMBER.exec(cleaned);
  const unitText = found ? stripped(cleaned.slice(found[0].length)) : "";
  // "3000 1/min" ends in a unit; "1..2" and "12," in something that is still part of the number.
  if (!found || (NUMBER_MARK.test(unitText) && !isKnown(unitText, units))) {
    throw new NumberProblem("unreadable", { text: cleaned });
  }
  const number = valueOf(found, cleaned);
  const unit = unitText ? unitMeant(unitText, kind, units, defaultUnit) : defaultUnit;
  const { factor, offset } = units.units[unit];
  return { number, unit, si: finite(number * factor + offset) };
}

/**
 * Number and unit of a typed text, cleaned but not judged; what has no unit behind a number stays whole.
 * @param {string} text
 * @returns {[string, string]}
 */
export function splitQuantity(text) {
  let cleaned;
  try {
    cleaned = cleanedText(text);
  } catch (error) {
    if (error instanceof NumberProblem) return [text, ""];
    throw error;
  }
  const found = NUMBER.exec(cleaned);
  const rest = found ? stripped(cleaned.slice(found[0].length)) : "";
  return !found || MORE_NUMBER.test(rest) ? [cleaned, ""] : [stripped(found[0]), rest];
}

/**
 * `value` for people, in a form that `readNumber` reads as exactly what stands there.
 * Rounds the shortest decimal digits of the value, halves away from zero: 1.005 to hundredths is 1.01.
 * @param {number} value
 * @param {number | null} place   power of ten of the last digit kept: -2 keeps hundredths, 2 keeps hundreds
 * @param {number | null} digits  or: how many digits are kept, from the first that is not 0
 * @param {string} decimal        "." or ","
 * @returns {string}  minus U+2212; groups of three parted by U+202F from 10 000 up; 1.5e20 from 1e15 up and below 1e-9
 * @throws {NumberProblem | RangeError}  not_finite; place and digits both, digits below 1 or another mark
 */
export function writeNumber(value, place = null, digits = null, decimal = ".") {
  const oneAccuracy = digits === null || (place === null && digits >= 1);
  if (!oneAccuracy || ![".", ","].includes(decimal)) {
    throw new RangeError(`place ${place}, digits ${digits}, decimal ${decimal}`);
  }
  let [figures, last] = shortest(finite(value));
  if (digits !== null && figures) place = last + figures.length - digits;
  [figures, last] = rounded(figures, last, place);
  if (digits !== null && figures.length > digits) { // 9.99 became 10.0: one more in front, one fewer behind
    figures = figures.slice(0, -1);
    place = last += 1;
  }
  const sign = value < 0 && figures ? "−" : "";
  const first = last + figures.length - 1;
  if (figures && (first < SMALLEST_PLAIN || first > LARGEST_PLAIN)) {
    return sign + withPower(figures.replace(/0+$/, ""), first, decimal);
  }
  return sign + withMarks(figures, last, place ?? last, decimal);
}

/**
 * `value` with all its digits, for links, copies and fields: `readNumber` gives the very same value back.
 * @param {number} value
 * @param {string} decimal  "." or ","
 */
export function writeFull(value, decimal = ".") {
  return writeNumber(value, null, null, decimal);
}

/**
 * Power of ten and digit of the first digit of a number that is not 0: 0.025 gives [-2, 2].
 * @param {number} value
 * @returns {[number, number]}
 */
export function firstPower(value) {
  const [figures, power] = shortest(value);
  return [power + figures.length - 1, Number(figures[0])];
}

/**
 * `text` through the table. The limit comes first, so that nothing long is ever worked on.
 * @param {string} text
 */
function cleanedText(text) {
  // Characters, as the server counts them; one takes at most two of JavaScript's units.
  if (text.length > 2 * LIMIT || [...text].length > LIMIT) throw new NumberProblem("too_long", { limit: String(LIMIT) });
  const cleaned = stripped([...text].map((mark) => NORMAL.get(mark) ?? mark).join(""));
  if (!cleaned) throw new NumberProblem("empty");
  return cleaned;
}

/** @param {string} text  only the space of the table counts: trim() would take more than the server's side does */
const stripped = (text) => text.replace(/^ +| +$/g, "");

/**
 * @param {RegExpExecArray} found
 * @param {string} cleaned
 */
function valueOf(found, cleaned) {
  const [, sign, whole, over, under, run, power] = found;
  let size;
  if (over) size = fraction(whole, over, under, cleaned);
  else if (power) size = withExponent(run + power, cleaned);
  else size = Number(decimalOf(sign, run, cleaned));
  return finite(sign === "-" ? -size : size);
}

/**
 * @param {string | undefined} whole
 * @param {string} over
 * @param {string} under
 * @param {string} cleaned
 */
function fraction(whole, over, under, cleaned) {
  if (Number(under) === 0) throw new NumberProblem("zero_denominator", { text: cleaned });
  // 1 125/8 could be 1125/8 as well; a proper fraction behind the whole leaves no doubt.
  if (whole && Number(over) >= Number(under)) throw new NumberProblem("unreadable", { text: cleaned });
  return (Number(whole ?? "0") * Number(under) + Number(over)) / Number(under);
}

/**
 * Only the form that `writeNumber` writes; with one digit before its mark, 1.234e20 has one meaning.
 * @param {string} text
 * @param {string} cleaned
 */
function withExponent(text, cleaned) {
  const own = POWER.exec(text);
  if (!own || (SMALLEST_PLAIN <= Number(own[2]) && Number(own[2]) <= LARGEST_PLAIN)) {
    throw new NumberProblem("unreadable", { text: cleaned });
  }
  const size = Number(`${own[1].replace(",", ".")}e${own[2]}`);
  if (size === 0) throw new NumberProblem("not_finite"); // 1e-400 is not nothing
  return size;
}

/**
 * Plain digits with a point, such as 1234.5, from digits with marks.
 * @param {string} sign
 * @param {string} run
 * @param {string} cleaned
 */
function decimalOf(sign, run, cleaned) {
  const simple = SIMPLE.exec(run);
  if (simple) {
    const [, whole, decimals = "0"] = simple;
    if (decimals.length === 3 && GROUP_HEAD.test(whole)) throw ambiguity(sign.replace("+", ""), run, whole, decimals);
    return `${whole || "0"}.${decimals}`;
  }
  const grouped = GROUPED.exec(run);
  if (!grouped) throw new NumberProblem("unreadable", { text: cleaned });
  return `${grouped[1].replaceAll(grouped[2], "")}.${grouped[3] ?? "0"}`;
}

/**
 * @param {string} sign
 * @param {string} run
 * @param {string} whole
 * @param {string} decimals
 */
function ambiguity(sign, run, whole, decimals) {
  const [a, b] = [`${sign}${whole}.${decimals}`, `${sign}${whole}${decimals}`];
  return new NumberProblem("ambiguous", { text: sign + run, a, b, type_a: `${a}0`, type_b: b });
}

/**
 * `value`, with -0 made 0.
 * @param {number} value
 * @throws {NumberProblem}  for an infinity and for what is no number
 */
function finite(value) {
  if (!Number.isFinite(value)) throw new NumberProblem("not_finite");
  return value + 0;
}

/**
 * @param {string} unitText
 * @param {Units} units
 */
function isKnown(unitText, units) {
  return unitsNamed(unitText, Object.keys(units.kinds), units).length > 0 || unitsAsked(unitText, units).length > 0;
}

/**
 * Id of the unit that `text` means in a field of `kind`.
 * @param {string} text
 * @param {string} kind
 * @param {Units} units
 * @param {string} defaultUnit
 * @throws {NumberProblem}
 */
function unitMeant(text, kind, units, defaultUnit) {
  const own = unitsNamed(text, [kind], units).map(([, unit]) => unit);
  if (own.length === 1) return own[0];
  const listed = units.kinds[kind].units;
  const asked = own.length ? own : unitsAsked(text, units);
  const named = unitsNamed(text, Object.keys(units.kinds), units).map(([other]) => other);
  // A gallon in a field of US gallons is one of these. A pound is a mass: in a field of torque it stays half a unit.
  if (asked.includes(defaultUnit) && (own.length || !named.length)) return defaultUnit;
  const choices = asked.filter((unit) => listed.includes(unit));
  if (choices.length) throw new NumberProblem("asked_unit", { unit: text, choices: symbols(choices, units) });
  const usable = symbols(listed, units);
  const elsewhere = named.length ? named : kindsOf(asked, units);
  if (elsewhere.length) {
    const { title } = units.kinds[elsewhere[0]];
    throw new NumberProblem("wrong_kind", { unit: text, kind: title, choices: usable });
  }
  const near = symbols(nearUnits(text, kind, units), units);
  throw new NumberProblem("unknown_unit", { unit: text, near, choices: usable });
}

/**
 * The fewest digits that read back as |value|, and the power of ten of the last; 0 has no digits.
 * @param {number} value
 * @returns {[string, number]}
 */
function shortest(value) {
  const [mantissa, exponent = "0"] = String(Math.abs(value)).split("e");
  const [whole, decimals = ""] = mantissa.split(".");
  const figures = (whole + decimals).replace(/0+$/, "");
  const power = Number(exponent) + whole.length - figures.length;
  return figures ? [figures.replace(/^0+/, ""), power] : ["", 0];
}

/**
 * The digits cut at `place`, halves away from zero, and the power of ten of the last that is left.
 * @param {string} figures
 * @param {number} last
 * @param {number | null} place
 * @returns {[string, number]}
 */
function rounded(figures, last, place) {
  if (place === null || place <= last || !figures) return [figures, last];
  const cut = place - last;
  const kept = figures.slice(0, Math.max(0, figures.length - cut));
  const firstCut = cut <= figures.length ? figures[kept.length] : "0";
  // Sixteen digits can be more than a number holds exactly.
  return [firstCut >= "5" ? String(BigInt(kept || "0") + 1n) : kept, place];
}

/**
 * @param {string} figures
 * @param {number} first
 * @param {string} decimal
 */
function withPower(figures, first, decimal) {
  const mantissa = figures[0] + (figures.length > 1 ? decimal + figures.slice(1) : "");
  return `${mantissa}e${first < 0 ? "−" : ""}${Math.abs(first)}`;
}

/**
 * Digits with decimal mark and groups, filled up with zeros to `place`.
 * Where the mark could be taken for one of thousands (1.234) a zero follows (1.2340): same value, no doubt.
 * @param {string} figures
 * @param {number} last
 * @param {number} place
 * @param {string} decimal
 */
function withMarks(figures, last, place, decimal) {
  const decimals = Math.min(Math.max(0, -place), MOST_DECIMALS);
  const filled = (figures + "0".repeat(figures ? decimals + last : 0)).padStart(decimals + 1, "0");
  let whole = filled.slice(0, filled.length - decimals);
  let fractionText = filled.slice(filled.length - decimals);
  if (fractionText.length === 3 && GROUP_HEAD.test(whole)) fractionText += "0";
  if (whole.length > 4) whole = whole.replace(/(?!^)(?=(?:[0-9]{3})+$)/g, "\u202f");
  return whole + (fractionText ? decimal + fractionText : "");
}
