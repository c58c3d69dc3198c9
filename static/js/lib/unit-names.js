// Which unit a text names: a closed table of spellings, compared as whole texts. Twin: webapp/figures/unit_names.py.

/**
 * The table of units; the twin says what its parts mean.
 * @typedef {{title: string, units: string[], spellings?: Record<string, string>}} Kind
 * @typedef {{symbol: string, factor: number, offset: number, names: string[]}} Unit
 * @typedef {{kinds: Record<string, Kind>, units: Record<string, Unit>, asked: Record<string, string[]>}} Units
 */

/** @type {Map<string, string>} */
export const UNIT_MARKS = new Map([
  ...[..." ^"].map((mark) => /** @type {[string, string]} */ ([mark, ""])),
  ...[..."*-.⋅∙•⁻"].map((mark) => /** @type {[string, string]} */ ([mark, "·"])),
  ["¹", "1"], ["²", "2"], ["³", "3"], ["₂", "2"],
  ["\u00b5", "μ"], ["\u2126", "Ω"], ["\u212a", "K"], ["º", "°"], ["˚", "°"], ["℃", "°C"], ["℉", "°F"], ["\u2033", '"'],
]);

/** @type {Map<string, string>} */
const keyOf = new Map();

/**
 * What two spellings of one unit share: spaces, raised digits and the mark between the parts make no difference.
 * @param {string} text
 */
export function unitKey(text) {
  let key = keyOf.get(text);
  if (key === undefined) {
    if (keyOf.size > 4096) keyOf.clear();
    // The hyphen of "3/8-inch" and the point of "in." belong to the sentence around the unit.
    const bare = text.replace(/^ *-|\. *$/g, "");
    key = [...bare].map((mark) => UNIT_MARKS.get(mark) ?? mark).join("").replaceAll("''", '"');
    keyOf.set(text, key);
  }
  return key;
}

/**
 * [kind, unit id] of each unit that has this name: spelled exactly so, or else in other capitals.
 * @param {string} text
 * @param {string[]} kinds
 * @param {Units} units
 */
export function unitsNamed(text, kinds, units) {
  const key = unitKey(text);
  const listed = pairsOf(kinds, units);
  const exact = listed.filter(([kind, unit]) => keys(kind, unit, units).includes(key));
  if (exact.length) return exact;
  const folded = listed.filter(([kind, unit]) =>
    keys(kind, unit, units).some((name) => name.toLowerCase() === key.toLowerCase()));
  return folded.filter(([kind, unit]) => !isOtherPrefix(key, keys(kind, unit, units), units));
}

/**
 * Ids of the units that an ambiguous name can mean; empty for any other name.
 * @param {string} text
 * @param {Units} units
 */
export function unitsAsked(text, units) {
  const key = unitKey(text);
  const asked = Object.keys(units.asked);
  const name = asked.find((each) => unitKey(each) === key)
    ?? asked.find((each) => unitKey(each).toLowerCase() === key.toLowerCase());
  return name === undefined ? [] : units.asked[name];
}

/**
 * Kinds that can be stated in any of these units.
 * @param {string[]} ids
 * @param {Units} units
 */
export function kindsOf(ids, units) {
  return Object.keys(units.kinds).filter((kind) => units.kinds[kind].units.some((unit) => ids.includes(unit)));
}

/**
 * Symbols of the units; a bare count has none.
 * @param {string[]} ids
 * @param {Units} units
 */
export function symbols(ids, units) {
  return ids.map((unit) => units.units[unit].symbol).filter((symbol) => symbol);
}

/**
 * Up to three units of `kind` with a spelling within two changes of `text`: nearest first, then as listed.
 * @param {string} text
 * @param {string} kind
 * @param {Units} units
 */
export function nearUnits(text, kind, units) {
  const key = unitKey(text).toLowerCase();
  /** @param {string} unit */
  const stepsTo = (unit) => Math.min(9, ...keys(kind, unit, units)
    .map((name) => changes([...key], [...name.toLowerCase()])));
  const ranked = units.kinds[kind].units.map((unit) => ({ unit, steps: stepsTo(unit) }));
  const near = ranked.filter(({ steps }) => steps <= 2).sort((one, other) => one.steps - other.steps);
  return near.slice(0, 3).map(({ unit }) => unit);
}

/**
 * @param {string[]} kinds
 * @param {Units} units
 * @returns {[string, string][]}
 */
function pairsOf(kinds, units) {
  return kinds.flatMap((kind) => units.kinds[kind].units.map((unit) => /** @type {[string, string]} */ ([kind, unit])));
}

/**
 * Keys of all spellings of a unit in a kind. An empty spelling is none: then no unit was typed.
 * @param {string} kind
 * @param {string} unit
 * @param {Units} units
 */
function keys(kind, unit, units) {
  const { symbol, names } = units.units[unit];
  const { spellings = {} } = units.kinds[kind];
  const own = Object.keys(spellings).filter((name) => spellings[name] === unit);
  return [unit, symbol, ...names, ...own].map(unitKey).filter((key) => key);
}

/**
 * Whether `key` has milli where `names` have mega, or the reverse: mPa is not MPa, but Mph may be mph.
 * @param {string} key
 * @param {string[]} names
 * @param {Units} units
 */
function isOtherPrefix(key, names, units) {
  const [first, behind] = [key.slice(0, 1), key.slice(1)];
  if (!["m", "M"].includes(first) || !names.includes((first === "m" ? "M" : "m") + behind)) return false;
  const every = pairsOf(Object.keys(units.kinds), units);
  return every.some(([kind, unit]) => keys(kind, unit, units).includes(behind));
}

/**
 * Letters to add, drop or replace to get from one text to the other; 9 where it is over 2 by the lengths alone, or
 * where no letter would stay: "x" is not almost "K".
 * Source: V. I. Levenshtein's distance of 1966 (from memory); the table of the two texts is filled row by row.
 * @param {string[]} one    letters
 * @param {string[]} other  letters
 */
function changes(one, other) {
  if (Math.abs(one.length - other.length) > 2) return 9;
  let row = [...other.keys(), other.length];
  one.forEach((letter, i) => {
    const above = row;
    row = [i + 1];
    other.forEach((against, j) => {
      row.push(Math.min(above[j] + (letter === against ? 0 : 1), above[j + 1] + 1, row[j] + 1));
    });
  });
  const steps = row[other.length];
  return steps < Math.max(one.length, other.length) ? steps : 9;
}
