/**
 * Which caution sheets a person's own words lead to, by the words of content/hazards.md. No DOM.
 *
 * @typedef {{words: string[], besides: string[], sheets: string[]}} Hazard  besides: phrases in which a word does not count; sheets: the one to propose first
 */

import { wordsOf } from "./fold.js";

/** Sheets to read before what is written is done: the first one of each hazard, unless another one on it is there already. @param {string} text @param {Hazard[]} hazards @returns {string[]} */
export function leadsTo(text, hazards) {
  const spoken = hazards.filter((hazard) => speaksOf(text, hazard));
  return spoken.reduce((found, { sheets }) => (sheets.some((sheet) => found.includes(sheet)) ? found : [...found, sheets[0]]), /** @type {string[]} */ ([]));
}

/** @param {string} text @param {Hazard} hazard */
function speaksOf(text, { words, besides }) {
  const counted = besides.reduce((left, phrase) => left.replaceAll(asWords(phrase), " · "), asWords(text));
  return words.some((phrase) => counted.includes(asWords(phrase)));
}

/** Words with a space on either side of each, so that a phrase is found as a whole. @param {string} text */
function asWords(text) {
  return ` ${wordsOf(text).join(" ")} `;
}
