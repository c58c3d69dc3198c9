/**
 * Fields of a card by their paths, as actions name them (`Field` in job.js). Pure; a card is never changed in place.
 */

/** What stands at a path, or undefined. @param {any} value @param {readonly string[]} path @returns {any} */
export function valueAt(value, path) {
  return path.reduce((found, key) => (found !== null && typeof found === "object" && Object.hasOwn(found, key) ? found[key] : undefined), value);
}

/** Whether two plain values are alike, in whatever order their keys stand. @param {any} one @param {any} other @returns {boolean} */
export function same(one, other) {
  if (one === other) return true;
  if (typeof one !== "object" || typeof other !== "object" || !one || !other || Array.isArray(one) !== Array.isArray(other)) return false;
  const keys = Object.keys(one);
  return keys.length === Object.keys(other).length && keys.every((key) => Object.hasOwn(other, key) && same(one[key], other[key]));
}

/** A copy in which another value stands at a path. @param {any} value @param {readonly string[]} path @param {any} to  undefined: taken out @returns {any} */
export function withValue(value, [key, ...rest], to) {
  const { [key]: old, ...others } = value;
  if (rest.length) return { ...value, [key]: withValue(old, rest, to) };
  return to === undefined ? others : { ...value, [key]: to };
}

/** One field of a thing, to be set. @param {string} name @param {string} id @param {string} field @param {any} to @returns {import("./job.js").Field} */
export function setOf(name, id, field, to) {
  return { path: [name, id, field], to };
}
