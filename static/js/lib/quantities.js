// A number typed with its unit, in every unit of each kind that it can be. Twin: webapp/finder/quantities.py.

import { echo, exact, FULL_DIGITS } from "./display.js";
import { NumberProblem, readNumber, readQuantity, splitQuantity } from "./number.js";
import { nearUnits, symbols, unitKey, unitsAsked, unitsNamed } from "./unit-names.js";

/**
 * The fields mean what the twin says.
 * @typedef {import("./number.js").Reading} Reading
 * @typedef {{number: string, unit: string, kinds: string[], sorts: string[], read_as: string, others: {number: string, unit: string}[]}} Sense
 * @typedef {{title: string, path: string, value: string, label: string}} Link
 * @typedef {{unit: string, senses: Sense[], problem: string, choices: string[], links: Link[]}} Quantity
 */

const NEAREST = 4;
const SHORTEST = 3;

/** Reads quantities in one language. */
export class Quantities {
  /**
   * @param {import("./ranking.js").Data} data
   * @param {import("./unit-names.js").Units & {kinds: Record<string, {sort: string}>}} units
   * @param {Record<string, string>} words
   * @param {string} decimal
   */
  constructor(data, units, words, decimal) {
    this.data = data;
    this.units = units;
    this.words = words;
    this.decimal = decimal;
    this.covering = coveringOf(units.kinds);
    this.names = namesOf(units);
  }

  /**
   * The quantity that a text states; null where it states none.
   * @param {string} text
   * @returns {Quantity | null}
   */
  read(text) {
    const [number, unit] = splitQuantity(text);
    // Most of what is typed behind a number is no unit, or not yet: one look tells, and the whole table need not be gone through.
    if (!unit || !this.names.has(unitKey(unit).toLowerCase())) return null;
    const named = unitsNamed(unit, Object.keys(this.units.kinds), this.units);
    const asked = unitsAsked(unit, this.units);
    if (!named.length && !asked.length) return null;
    const found = quantityOf(unit);
    /** @type {[string, Reading][]} */
    let readings;
    try {
      readNumber(number);
      // What is typed just as a unit is written comes before what only goes by that name.
      const isOther = (/** @type {string} */ own) => Number(unitKey(this.units.units[own].symbol) !== unitKey(unit));
      named.sort(([, one], [, other]) => isOther(one) - isOther(other));
      readings = named.map(([kind, own]) => [kind, readQuantity(text, kind, this.units, own)]);
    } catch (problem) {
      if (!(problem instanceof NumberProblem)) throw problem;
      found.problem = problem.sentence(this.words);
      found.choices = ["type_a", "type_b"].filter((key) => key in problem.fields).map((key) => `${problem.fields[key]} ${unit}`);
      return found;
    }
    if (asked.length) {
      const choices = symbols(asked, this.units);
      found.choices = choices.map((name) => `${number} ${name}`);
      found.problem = new NumberProblem(named.length ? "also_unit" : "asked_unit", { unit, choices }).sentence(this.words);
    }
    const groups = this.groups(readings);
    found.senses = groups.map((group) => this.sense(unit, readings, group));
    found.links = inTurn(groups.map((group) => this.links(number, readings.filter(([kind]) => group.includes(kind)))));
    return found;
  }

  /**
   * What a number with an unknown unit may have meant; null where the text is nothing of the sort, or nothing is near.
   * @param {string} text
   * @returns {Quantity | null}
   */
  near(text) {
    const [number, unit] = splitQuantity(text);
    const kinds = [...unit].length >= SHORTEST ? this.covering : [];
    const near = kinds.flatMap((kind) => nearUnits(unit, kind, this.units));
    const choices = [...new Set(symbols(near, this.units))].slice(0, NEAREST);
    if (!choices.length) return null;
    const problem = new NumberProblem("no_unit_near", { unit, choices }).sentence(this.words);
    return { ...quantityOf(unit), problem, choices: choices.map((name) => `${number} ${name}`) };
  }

  /**
   * Kinds whose numbers are the same in every unit: those of one unit that have a sort each, as pressures have.
   * @param {[string, Reading][]} readings
   */
  groups(readings) {
    /** @type {Map<string, string[]>} */
    const groups = new Map();
    for (const [kind, { unit }] of readings) {
      const key = JSON.stringify([unit, this.units.kinds[kind].sort ? "" : kind]);
      groups.set(key, [...(groups.get(key) ?? []), kind]);
    }
    return [...groups.values()];
  }

  /**
   * @param {string} typed
   * @param {[string, Reading][]} readings
   * @param {string[]} group
   * @returns {Sense}
   */
  sense(typed, readings, group) {
    const { kinds, units } = this.units;
    const reading = /** @type {[string, Reading]} */ (readings.find(([kind]) => kind === group[0]))[1];
    const listed = { units: [...new Set(group.flatMap((kind) => kinds[kind].units))] };
    const { symbol } = units[reading.unit];
    const meant = readings.map(([, other]) => unitKey(units[other.unit].symbol));
    const isOther = unitKey(typed) !== unitKey(symbol) && meant.includes(unitKey(typed));
    return {
      number: exact(reading.number, FULL_DIGITS, this.decimal),
      unit: symbol,
      kinds: group.map((kind) => kinds[kind].title),
      sorts: [...new Set(group.map((kind) => kinds[kind].sort).filter((sort) => sort).map((sort) => this.words[`sort_${sort}`]))],
      read_as: isOther ? symbol : "",
      others: echo(reading.si, listed, units, reading.unit, this.decimal),
    };
  }

  /**
   * Each Figure once, under the first kind for which it has an input whose range holds the number.
   * @param {string} number
   * @param {[string, Reading][]} readings
   * @returns {Link[]}
   */
  links(number, readings) {
    /** @type {Map<string, Link>} */
    const links = new Map();
    for (const [kind, { unit, si }] of readings) {
      const place = this.data.kinds.indexOf(kind);
      const value = `${number} ${this.units.units[unit].symbol}`;
      const text = quoted(value);
      for (const [name, title, , , , inputs] of this.data.figures) {
        for (const [at, take, label, own, low, high] of inputs) {
          if (at !== place || links.has(name) || !this.holds(kind, own, [low, high], si)) continue;
          links.set(name, { title, path: `figures/${name}/?${take}=${text}`, value, label });
        }
      }
    }
    return [...links.values()];
  }

  /**
   * Whether an input whose limits are in the kind's unit number `own` takes a value.
   * @param {string} kind
   * @param {number} own
   * @param {number[]} limits
   * @param {number} si
   */
  holds(kind, own, limits, si) {
    const { factor, offset } = this.units.units[this.units.kinds[kind].units[own]];
    const [low, high] = limits.map((limit) => limit * factor + offset);
    return low <= si && si <= high;
  }
}

/** One link of each sense in turn, each Figure once. @param {Link[][]} lists @returns {Link[]} */
function inTurn(lists) {
  /** @type {Map<string, Link>} */
  const links = new Map();
  for (let n = 0; lists.some((list) => n < list.length); n++) {
    for (const list of lists) if (n < list.length && !links.has(list[n].title)) links.set(list[n].title, list[n]);
  }
  return [...links.values()];
}

/** Kinds in order that hold every unit between them, less those that bring no further one. @param {Record<string, {units: string[]}>} kinds */
function coveringOf(kinds) {
  const seen = new Set();
  return Object.keys(kinds).filter((kind) => {
    const isNew = kinds[kind].units.some((unit) => !seen.has(unit));
    kinds[kind].units.forEach((unit) => seen.add(unit));
    return isNew;
  });
}

/** Every spelling of a unit, and every name that is asked back, without its capitals. @param {import("./unit-names.js").Units} units */
function namesOf({ kinds, units, asked }) {
  const own = Object.entries(units).flatMap(([id, { symbol, names }]) => [id, symbol, ...names]);
  const ofKinds = Object.values(kinds).flatMap(({ spellings = {} }) => Object.keys(spellings));
  return new Set([...own, ...ofKinds, ...Object.keys(asked)].map((name) => unitKey(name).toLowerCase()));
}

/** @param {string} unit @returns {Quantity} */
const quantityOf = (unit) => ({ unit, senses: [], problem: "", choices: [], links: [] });

/** A text as it stands behind the `?` of an address: spaces as "+", strokes as they are. @param {string} text */
function quoted(text) {
  const coded = encodeURIComponent(text).replace(/[!'()*]/g, (mark) => `%${mark.charCodeAt(0).toString(16).toUpperCase()}`);
  return coded.replaceAll("%20", "+").replaceAll("%2F", "/");
}
